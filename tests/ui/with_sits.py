"""Stands and sits on the property whose spots are found, on an evening in November."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest

from tests.ui.found import found_file, opened
from ui.main_window import MainWindow
from ui.sits import SitWork
from ui.stops import Stop

ON = date(2026, 11, 3)


def at_page(name: str, window: MainWindow, folder: Path, qtbot) -> MainWindow:
    """Open the property in a window, pick two spots, and click to a page of Later."""
    opened(window, qtbot, found_file(folder))
    window.tending.take_best(2)
    window.desk.hour.set(on=ON)
    window.go_to(Stop.LATER)
    QTest.mouseClick(window.panel.rows[name], Qt.LeftButton)
    known(window, qtbot)
    return window


def sits_of(window: MainWindow) -> SitWork:
    """Return the work on stands and sits."""
    return window.panel.pages["Stands"].sits


def known(window: MainWindow, qtbot) -> None:
    """Wait until all that the pages show is worked out."""
    sits = sits_of(window)
    qtbot.waitUntil(
        lambda: sits.table is not None and sits.sits is not None and not sits.is_busy,
        timeout=120_000,
    )
