"""The hub of Later, by real clicks and keys."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest

from tests.ui.found import found_file, opened
from ui.main_window import MainWindow
from ui.panels.later import LaterPanel
from ui.stops import Stop


@pytest.fixture
def window(make_window: Callable[..., MainWindow], qtbot, tmp_path: Path) -> MainWindow:
    window = opened(make_window(1280, 720), qtbot, found_file(tmp_path))
    window.go_to(Stop.LATER)
    return window


def panel_of(window: MainWindow) -> LaterPanel:
    panel = window.panel
    assert isinstance(panel, LaterPanel)
    return panel


def test_every_row_opens_its_page_and_the_way_back_stands_above_it(window: MainWindow) -> None:
    panel = panel_of(window)
    for name, row in panel.rows.items():
        assert row.line, name
        QTest.mouseClick(row, Qt.LeftButton)
        assert panel.page is panel.pages[name]
        assert panel.pages[name].isVisible()
        assert panel.heading.text() == panel.pages[name].title()
        assert not row.isVisible()
        QTest.mouseClick(panel.back, Qt.LeftButton)
        assert panel.page is None
        assert row.isVisible()
        assert row.hasFocus()


def test_escape_goes_back_from_a_page_and_another_stop_closes_it(window: MainWindow) -> None:
    panel = panel_of(window)
    first = next(iter(panel.pages))
    panel.show_page(first)
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    assert panel.page is None
    panel.show_page(first)
    window.go_to(Stop.SPOTS)
    window.go_to(Stop.LATER)
    assert panel.page is None


def test_without_picked_spots_the_foot_leads_back_to_them(window: MainWindow) -> None:
    assert not any(pick.is_taken for pick in window.desk.open.place.picks)
    assert window.column.button.text() == "Back to the spots"
    QTest.mouseClick(window.column.button, Qt.LeftButton)
    assert window.desk.here is Stop.SPOTS


def test_rows_are_tall_enough_for_their_words(window: MainWindow) -> None:
    for row in panel_of(window).rows.values():
        assert row.height() == row.heightForWidth(row.width())
        row.show_line("A longer line that cannot stand in one row of the column, for certain. " * 2)
        assert row.heightForWidth(row.width()) > 90
