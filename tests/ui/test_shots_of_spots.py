"""Pictures of trips, spots and taking along on the sample, in build/shots: to be looked at."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from PyQt5.QtWidgets import QApplication

from funnelfinder.analysis import run
from funnelfinder.defaults import with_setting
from funnelfinder.files import property_file
from tests.ui.conftest import Mouse
from tests.ui.test_shots import SIZES, Quiet, at, opened, shoot
from ui.main_window import MainWindow
from ui.sample import make_sample
from ui.stops import Stop

pytestmark = pytest.mark.shots


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the sample on cells of 10 m with findings, made once."""
    path = make_sample(tmp_path_factory.mktemp("found"), Quiet())
    kept = property_file.load(path)
    settings = kept.place.settings
    for name, text in (("travel-cell", "10"), ("n-redraws", "3"), ("n-drawn", "1000")):
        settings = with_setting(settings, name, text)
    place = replace(kept.place, settings=settings)
    property_file.save_place(path, place)
    property_file.save_findings(path, run(place, kept.grids))
    return path


def ready(window: MainWindow, qtbot, path: Path) -> MainWindow:
    opened(window, qtbot, path)
    qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=30_000)
    return window


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_trips_and_spots(make_window, found: Path, tmp_path: Path, qtbot, size) -> None:
    own = tmp_path / found.name
    shutil.copy(found, own)
    window = ready(make_window(*size), qtbot, own)
    window.go_to(Stop.TRIPS)
    shoot(window, "trips")
    window.panel.single.click()
    shoot(window, "trips-single")
    window.open_table()
    shoot(window, "cover-table")
    window.go_to(Stop.SPOTS)
    shoot(window, "spots-none-picked")
    window.column.press()
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=60_000)
    shoot(window, "spots-picked")
    window.spot_work.step(1)
    shoot(window, "spot-in-hand")
    window.map.close_slip()
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    window.spot_work.place()
    middle = window.desk.open.place.boundary.centroid
    with qtbot.waitSignal(window.tending.judged, timeout=20_000):
        mouse.move(at(window, middle.x, middle.y))
    shoot(window, "spot-placing")
    window.spot_work.stop_placing()
    for page in ("left out", "more", "chosen"):
        window.panel.show_page(page)
        shoot(window, f"spots-{page.replace(' ', '-')}")
    window.go_to(Stop.TAKE_ALONG)
    shoot(window, "take-along")
    window.panel.set_folder(tmp_path)
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=20_000)
    shoot(window, "take-along-written")


def test_small_windows(make_window, found: Path, tmp_path: Path, qtbot) -> None:
    own = tmp_path / found.name
    shutil.copy(found, own)
    window = ready(make_window(640, 360), qtbot, own)
    window.go_to(Stop.SPOTS)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=60_000)
    window.column.press()
    shoot(window, "small-spots")
    window.go_to(Stop.TAKE_ALONG)
    shoot(window, "small-take-along")
