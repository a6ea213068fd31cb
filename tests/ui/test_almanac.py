"""The almanac band, by real clicks, drags and keys."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from funnelfinder.daylight import Half
from funnelfinder.files import property_file
from funnelfinder.season import Phase
from tests.ui.conftest import Mouse
from tests.ui.found import found_file, opened
from tests.ui.with_season import almanac_of, with_season
from ui.almanac import Almanac, suns
from ui.canvas.almanac_band import clock
from ui.main_window import MainWindow


@pytest.fixture
def window(make_window: Callable[..., MainWindow], qtbot, tmp_path: Path) -> MainWindow:
    window = make_window(1280, 720)
    almanac_of(window).today = lambda: date(2026, 10, 20)
    return opened(window, qtbot, with_season(found_file(tmp_path)))


def at(almanac: Almanac, on: date) -> QPoint:
    line = almanac.band.line
    return QPoint(round(line.x_of(on)), line.height() // 2)


def test_it_stands_at_the_foot_of_the_map_once_a_peak_is_set(window: MainWindow) -> None:
    band = almanac_of(window).band
    assert band.isVisible()
    assert band.height() == 64
    assert band.geometry().bottom() == window.map.height() - 1
    assert window.map.view.height() == window.map.height() - 64
    assert not window.map.scale.geometry().intersects(band.geometry())
    window.resize(1280, 500)
    assert not band.isVisible()
    assert window.map.view.height() == window.map.height()


def test_without_a_peak_there_is_none(make_window, qtbot, tmp_path: Path) -> None:
    window = opened(make_window(1280, 720), qtbot, found_file(tmp_path))
    assert not almanac_of(window).band.isVisible()


def test_f6_brings_the_keys_from_the_map_to_the_date(window: MainWindow) -> None:
    window.map.focus_map()
    QTest.keyClick(window.map.view, Qt.Key_F6)
    line = almanac_of(window).band.line
    assert line.hasFocus()
    QTest.keyClick(line, Qt.Key_Left)
    assert window.desk.hour.on == date(2026, 10, 19)


def test_keys_move_a_day_a_week_and_back_to_today(window: MainWindow) -> None:
    almanac, hour = almanac_of(window), window.desk.hour
    line = almanac.band.line
    assert hour.on == date(2026, 10, 20)
    line.setFocus()
    for key, days in (
        (Qt.Key_Right, 1),
        (Qt.Key_PageDown, 8),
        (Qt.Key_Left, 7),
        (Qt.Key_PageUp, 0),
    ):
        QTest.keyClick(line, key)
        assert hour.on == date(2026, 10, 20) + timedelta(days=days)
    for _ in range(30):
        QTest.keyClick(line, Qt.Key_PageDown)
    assert hour.on == date(2027, 5, 18)
    assert 0 <= line.x_of(hour.on) <= line.width()
    QTest.keyClick(line, Qt.Key_Home)
    assert hour.on == date(2026, 10, 20)


def test_a_date_within_the_phase_changes_no_trips(window: MainWindow, qtbot) -> None:
    almanac = almanac_of(window)
    place = window.desk.open.place
    mouse = Mouse(almanac.band.line, QApplication.processEvents)
    mouse.click(at(almanac, date(2026, 10, 24)))
    assert window.desk.hour.on == date(2026, 10, 24)
    qtbot.waitUntil(lambda: not almanac._rest.isActive(), timeout=5000)
    # No phase was run before: the first rest takes the one of the date.
    assert window.desk.open.place.season.phase == "pre-rut"
    n_steps = window.desk.open.history.n_done
    mouse.click(at(almanac, date(2026, 10, 5)))
    qtbot.waitUntil(lambda: not almanac._rest.isActive(), timeout=5000)
    assert window.desk.open.history.n_done == n_steps
    assert place.marks == window.desk.open.place.marks


def test_dragging_into_another_phase_walks_trips_and_undo_moves_the_date_back(
    window: MainWindow, qtbot
) -> None:
    almanac, hour = almanac_of(window), window.desk.hour
    mouse = Mouse(almanac.band.line, QApplication.processEvents)
    mouse.click(at(almanac, date(2026, 10, 22)))
    qtbot.waitUntil(lambda: window.following.is_newer, timeout=60_000)
    before = window.following.newest.passage.copy()
    mouse.drag(*(at(almanac, date(2026, 10, 20) + timedelta(days=k)) for k in range(0, 30, 3)))
    assert hour.on == date(2026, 11, 16)
    assert "peak breeding" in almanac.band.words.text()
    assert "Bucks stay with does in heat" in almanac.band.words.toolTip()
    qtbot.waitUntil(lambda: window.desk.open.place.season.phase == "peak breeding", timeout=10_000)
    qtbot.waitUntil(lambda: window.following.is_newer, timeout=60_000)
    assert (window.following.newest.passage != before).any()
    assert window.map.legend._words[2] == "peak breeding"
    qtbot.waitUntil(
        lambda: window.map.slip is not None and window.map.slip.words.title == "Peak breeding",
        timeout=60_000,
    )
    n_spots = len(window.desk.open.findings.clusters)
    assert len(window.map.slip.words.rows) == min(n_spots, 6)
    window.undo()
    # Phases that follow each other are one step.
    assert window.desk.open.place.season.phase == ""
    assert not window.desk.open.history.n_done
    assert window.runs.is_up_to_date
    window.redo()
    assert window.desk.open.place.season.phase == "peak breeding"
    assert hour.on == date(2026, 11, 16)


def test_evening_and_morning_are_shared_by_the_whole_window(window: MainWindow, qtbot) -> None:
    band = almanac_of(window).band
    morning = band.halves._group.button(1)
    QTest.mouseClick(morning, Qt.LeftButton)
    assert window.desk.hour.half is Half.MORNING
    window.desk.hour.set(half=Half.EVENING, is_in_light=True, on=date(2026, 11, 3))
    assert band.halves._group.button(0).isChecked()
    words = "seeking, in legal light, evening, 3 November"
    qtbot.waitUntil(lambda: window.map.legend._words[-1] == words, timeout=60_000)


def test_the_date_opens_in_the_phase_that_trips_were_run_for(
    make_window, qtbot, tmp_path: Path
) -> None:
    path = with_season(found_file(tmp_path))
    place = property_file.load_place(path)
    season = replace(place.season, phase="seeking")
    property_file.save_place(path, replace(place, season=season))
    window = make_window(1280, 720)
    almanac_of(window).today = lambda: date(2026, 10, 20)
    opened(window, qtbot, path, has_findings=False)
    # Seeking begins three weeks before the peak of 15 November.
    assert window.desk.hour.on == date(2026, 10, 25)
    assert almanac_of(window).phase_of(window.desk.open.place, date(2026, 10, 25)) is Phase.SEEKING


def test_the_sun_follows_the_clock_changes() -> None:
    """The sun of Lancaster, Ohio, 39.71 N 82.60 W; clocks went back on 1 November 2026.

    Sunset 6:29 pm on 31 October and 5:28 pm on 1 November, within 3 minutes: from memory of the
    almanac tables of the US Naval Observatory, checked here against the change of one hour.
    """
    days = [date(2026, 10, 20) + timedelta(days=k) for k in range(30)]
    found = suns((362_862.0, 4_396_880.0, 32617), "America/New_York", days)
    last, first = found[date(2026, 10, 31)], found[date(2026, 11, 1)]
    assert last is not None
    assert first is not None
    assert last.set_min - first.set_min == pytest.approx(61, abs=1.5)
    assert first.rise_min - last.rise_min == pytest.approx(-59, abs=1.5)
    assert clock(last.set_min) in {f"6:{m} pm" for m in range(26, 33)}
    # High above the polar circle it does not rise or set, and nothing is drawn.
    assert set(suns((500_000.0, 8_800_000.0, 32633), "", days).values()) == {None}
