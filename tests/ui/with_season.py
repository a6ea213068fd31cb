"""A property with a season: the clock of the East, a peak of 15 November, on a day in August."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QWidget

from funnelfinder.files import property_file
from tests.ui.found import opened
from ui.almanac import Almanac
from ui.main_window import MainWindow
from ui.panels.later import LaterPanel
from ui.season_work import SeasonWork
from ui.stops import Stop

TODAY = date(2026, 8, 24)


def with_season(path: Path, peak: str = "11-15", **choices: str) -> Path:
    """Set peak, clock and choices in a property file."""
    place = property_file.load_place(path)
    season = replace(place.season, **choices)
    place = replace(place, peak_breeding=peak, time_zone="America/New_York", season=season)
    property_file.save_place(path, place)
    return path


def almanac_of(window: MainWindow) -> Almanac:
    almanac = window.findChild(Almanac)
    assert isinstance(almanac, Almanac)
    return almanac


def season_of(window: MainWindow) -> SeasonWork:
    work = window.findChild(SeasonWork)
    assert isinstance(work, SeasonWork)
    return work


def on_page(window: MainWindow, qtbot, path: Path, name: str, today: date = TODAY) -> MainWindow:
    """Open a property and, by a click on its row, a page of Later."""
    almanac_of(window).today = lambda: today
    season_of(window).today = lambda: today
    opened(window, qtbot, path)
    window.go_to(Stop.LATER)
    panel = window.panel
    assert isinstance(panel, LaterPanel)
    QTest.mouseClick(panel.rows[name], Qt.LeftButton)
    assert panel.page is panel.pages[name]
    return window


def retype(widget: QWidget, text: str) -> None:
    """Type something else into a line, and Enter."""
    widget.setFocus()
    QTest.keyClick(widget, Qt.Key_A, Qt.ControlModifier)
    QTest.keyClick(widget, Qt.Key_Delete)
    QTest.keyClicks(widget, text)
    QTest.keyClick(widget, Qt.Key_Return)
