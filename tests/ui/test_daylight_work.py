"""Passage in legal light in the window, against the core."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest

from funnelfinder.analysis.sitting import property_day, sitting_base
from funnelfinder.daylight import Half, daylight_passage_per_m
from tests.ui.found import found_file, found_once, opened
from ui.main_window import MainWindow
from ui.stops import Stop

ON = date(2026, 11, 3)


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    window = opened(make_window(1280, 900), qtbot, found_file(tmp_path))
    window.desk.hour.set(on=ON)
    window.go_to(Stop.TRIPS)
    return window


def lit(window: MainWindow) -> str:
    return window.ground_work.light_words


def test_a_tick_shows_legal_light_and_the_legend_says_so(window: MainWindow, qtbot) -> None:
    place, grids, findings = found_once()
    QTest.mouseClick(window.panel.light.tick, Qt.LeftButton)
    qtbot.waitUntil(lambda: bool(lit(window)), timeout=60_000)
    assert lit(window) == "in legal light, evening, 3 November"
    assert "in legal light, evening, 3 November" in window.map.legend.accessibleDescription()
    base = sitting_base(place, grids, findings, property_day(place, ON)[0])
    own = daylight_passage_per_m(base.pairs, base.clock(Half.EVENING), base.ground.is_open)
    assert np.allclose(window.ground_work._light, own, atol=1e-7)
    assert own.sum() < findings.passage.sum()
    QTest.mouseClick(window.panel.light.tick, Qt.LeftButton)
    assert lit(window) == ""
    assert "light" not in window.map.legend.accessibleDescription()


def test_hour_and_trips_are_followed(window: MainWindow, qtbot) -> None:
    window.panel.light.tick.click()
    qtbot.waitUntil(lambda: bool(lit(window)), timeout=60_000)
    evening = window.ground_work._light
    segments = window.panel.light.hour.halves
    QTest.mouseClick(segments._group.button(1), Qt.LeftButton)
    qtbot.waitUntil(lambda: "morning" in lit(window), timeout=60_000)
    assert not np.array_equal(window.ground_work._light, evening)
    QTest.mouseClick(window.panel.light.hour.after, Qt.LeftButton)
    qtbot.waitUntil(lambda: "4 November" in lit(window), timeout=60_000)
    QTest.keyClick(window.panel.light.hour, Qt.Key_PageDown)
    qtbot.waitUntil(lambda: "11 November" in lit(window), timeout=60_000)


def test_other_trips_are_shown_whole_until_their_light_is_counted(
    window: MainWindow, qtbot
) -> None:
    window.panel.light.tick.click()
    qtbot.waitUntil(lambda: bool(lit(window)), timeout=60_000)
    findings = window.desk.open.findings
    window.ground_work.show_passage(findings.passage, findings.grid)
    assert lit(window) == ""
    window.desk.changed.emit()
    assert lit(window) == "in legal light, evening, 3 November"


def test_a_spots_slip_says_what_comes_in_light(window: MainWindow, qtbot) -> None:
    window.panel.light.tick.click()
    qtbot.waitUntil(lambda: bool(lit(window)), timeout=60_000)
    window.go_to(Stop.SPOTS)
    assert window.panel.light.tick.isChecked()
    window.spot_work.hold(1)
    content = window.map.slip.words.content
    assert content.light.isVisible()
    assert "come in legal light" in content.light.text()
    assert "under heavy" in content.light.text()
    window.panel.light.tick.click()
    assert not content.light.isVisible()
