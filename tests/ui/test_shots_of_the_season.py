"""Pictures of the almanac and of the pages of the season, at three sizes, in build/shots."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from funnelfinder.analysis import run
from funnelfinder.defaults import with_setting
from funnelfinder.files import property_file
from funnelfinder.season import Done
from tests.ui.test_shots import Quiet, opened, shoot
from tests.ui.with_season import almanac_of, retype, season_of
from ui.main_window import MainWindow
from ui.panels.cameras import CamerasPage
from ui.panels.later import LaterPanel
from ui.panels.season import SeasonPage
from ui.sample import make_sample
from ui.stops import Stop

pytestmark = pytest.mark.shots

SIZES = [(1440, 900), (1280, 720), (640, 360)]
each_size = pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
TODAY = date(2026, 9, 20)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample on cells of 10 m with findings and a season, made once."""
    path = make_sample(tmp_path_factory.mktemp("season"), Quiet())
    kept = property_file.load(path)
    settings = kept.place.settings
    for name, text in (("travel-cell", "10"), ("n-redraws", "3"), ("n-drawn", "1000")):
        settings = with_setting(settings, name, text)
    place = replace(kept.place, settings=settings)
    findings = run(place, kept.grids)
    season = replace(place.season, opening="09-26")
    place = replace(place, peak_breeding="11-15", time_zone="America/New_York", season=season)
    property_file.save_place(path, place)
    property_file.save_findings(path, findings)
    return path


def shown(make_window, qtbot, found: Path, folder: Path, size: tuple[int, int]) -> MainWindow:
    own = folder / found.name
    shutil.copy(found, own)
    window = make_window(*size)
    almanac_of(window).today = lambda: TODAY
    season_of(window).today = lambda: TODAY
    with qtbot.waitSignal(almanac_of(window).sun_known, timeout=60_000):
        opened(window, qtbot, own)
    qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=30_000)
    return window


def to_page(window: MainWindow, name: str) -> LaterPanel:
    window.go_to(Stop.LATER)
    window.fitting.is_drawer_open = True
    window.fitting.lay_drawer()
    panel = window.panel
    assert isinstance(panel, LaterPanel)
    panel.show_page(name)
    return panel


def below(window: MainWindow) -> None:
    """Look at the lower part of the column."""
    bar = window.column.pages.verticalScrollBar()
    QApplication.processEvents()
    bar.setValue(bar.maximum())


@each_size
def test_the_almanac_band(make_window, found: Path, tmp_path: Path, qtbot, size) -> None:
    window = shown(make_window, qtbot, found, tmp_path, size)
    almanac = almanac_of(window)
    window.go_to(Stop.SPOTS)
    shoot(window, "almanac-whole-season")
    window.desk.hour.set(on=date(2026, 11, 3))
    qtbot.waitUntil(lambda: window.desk.open.place.season.phase == "seeking", timeout=10_000)
    qtbot.waitUntil(lambda: window.following.is_newer, timeout=90_000)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=90_000)
    shoot(window, "almanac-seeking")
    window.map.close_slip()
    window.desk.hour.set(is_in_light=True)
    almanac.band.line.setFocus()
    QApplication.processEvents()
    shoot(window, "almanac-in-light")
    window.desk.hour.set(is_in_light=False, on=date(2027, 5, 20))
    shoot(window, "almanac-in-may")


@each_size
def test_season_log_and_work_table(make_window, found: Path, tmp_path, qtbot, size) -> None:
    window = shown(make_window, qtbot, found, tmp_path, size)
    panel = to_page(window, "")
    shoot(window, "later-rows")
    panel = to_page(window, "Season")
    shoot(window, "season")
    page = panel.page
    assert isinstance(page, SeasonPage)
    below(window)
    shoot(window, "season-below")
    QTest.mouseClick(page.list.ticks[0][1], Qt.LeftButton)
    QTest.mouseClick(page.change, Qt.LeftButton)
    QTest.mouseClick(page.more, Qt.LeftButton)
    window.column.pages.verticalScrollBar().setValue(0)
    shoot(window, "season-choices")
    work = season_of(window)
    work.write_sheet(tmp_path / "field-sheet.pdf", paper="letter", with_winds=False)
    shoot(window, "season-writing")
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=90_000)
    shoot(window, "season-written")
    window.map.close_slip()
    page.open_table()
    shoot(window, "work-table")
    window.bench.close_bench()
    panel = to_page(window, "Log")
    shoot(window, "log")
    spot = work.spots[1]
    work.write_down(spot, Done.SEEN, on="2026-09-12", note="Two bucks sparring at the edge")
    work.write_down(spot, Done.TAKEN_OVER, on="2026-09-18")
    retype(panel.pages["Log"].when, "someday")
    shoot(window, "log-trouble")
    window.map.close_slip()
    shoot(window, "log-entries")


@each_size
def test_cameras(make_window, found: Path, tmp_path, qtbot, size) -> None:
    window = shown(make_window, qtbot, found, tmp_path, size)
    panel = to_page(window, "Cameras")
    shoot(window, "cameras-none")
    lines = ["camera,cluster,latitude,longitude,from,to,seen,deer,count,note"]
    for cluster, name, n in ((1, "Cedar", 14), (2, "Oak gap", 3), (4, "Creek", 7)):
        for k in range(n):
            hour = "17:35" if k % 3 == 0 else "23:10"
            seen = f"2026-09-{3 + k:02d} {hour}"
            lines.append(f"{name},{cluster},,,2026-08-28,2026-09-19,{seen},doe,1,")
    path = tmp_path / "cards.csv"
    path.write_text("\n".join(lines) + "\n")
    window.open_files([path])
    page = panel.page
    assert isinstance(page, CamerasPage)
    qtbot.waitUntil(lambda: len(page.cameras) == 3, timeout=90_000)
    shoot(window, "cameras-added")
    window.map.close_slip()
    shoot(window, "cameras")
    below(window)
    shoot(window, "cameras-below")
