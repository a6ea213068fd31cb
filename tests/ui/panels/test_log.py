"""The log by real clicks and keys."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest

from funnelfinder.files import property_file
from funnelfinder.season import Done
from tests.ui.found import found_file
from tests.ui.with_season import on_page, season_of, with_season
from ui.main_window import MainWindow
from ui.panels.log import LogPage


def page_of(window: MainWindow) -> LogPage:
    page = window.panel.page
    assert isinstance(page, LogPage)
    return page


@pytest.fixture
def window(make_window: Callable[..., MainWindow], qtbot, tmp_path: Path) -> MainWindow:
    path = with_season(found_file(tmp_path), opening="09-26")
    return on_page(make_window(1280, 720), qtbot, path, "Log")


def choose(page: LogPage, done: Done) -> None:
    """Choose what was done by the keys."""
    page.what.setFocus()
    QTest.keyClick(page.what, Qt.Key_Home)
    for _ in range(page.what.findData(done)):
        QTest.keyClick(page.what, Qt.Key_Down)
    assert page.what.currentData() is done


def test_a_visit_is_written_down_listed_and_taken_back(window: MainWindow) -> None:
    page, path = page_of(window), window.desk.open.path
    choose(page, Done.CAMERA_CHECKED)
    QTest.keyClicks(page.when, "20 August")
    QTest.keyClicks(page.note, "Two does, no buck")
    QTest.mouseClick(window.column.button, Qt.LeftButton)
    (visit,) = window.desk.open.log
    assert (visit.on, visit.done, visit.note) == (
        "2026-08-20",
        Done.CAMERA_CHECKED,
        "Two does, no buck",
    )
    assert visit.spot == season_of(window).spots[0].label
    assert page.note.text() == ""
    assert "Written down" in page.effect.text()
    assert window.desk.open.keeper.finish()
    assert property_file.load_log(path) == (visit,)
    number, link = page.links[0]
    QTest.mouseClick(link, Qt.LeftButton)
    assert number == 0
    assert window.desk.open.log == ()
    assert not page.links
    window.undo()
    assert window.desk.open.log == (visit,)
    window.undo()
    assert window.desk.open.log == ()
    window.redo()
    assert window.desk.open.log == (visit,)


def test_scrapes_that_bucks_took_over_are_left_alone_by_the_plan(window: MainWindow) -> None:
    page, work = page_of(window), season_of(window)
    spot = work.spots[0]
    before = [task for task in work.plan.tasks if task.spot.number == spot.number]
    choose(page, Done.TAKEN_OVER)
    QTest.keyClick(page.note, Qt.Key_Return)
    assert window.desk.open.log[0].done is Done.TAKEN_OVER
    after = [task for task in work.plan.tasks if task.spot.number == spot.number]
    scrapes = {"open", "add scrapes", "freshen"}
    assert sum(task.action.value in scrapes for task in before) > 0
    assert sum(task.action.value in scrapes for task in after) == 0
    assert "left alone" in page.effect.text()


def test_a_date_that_is_none_is_told_and_nothing_is_written(window: MainWindow) -> None:
    page = page_of(window)
    QTest.keyClicks(page.when, "someday")
    QTest.keyClick(page.when, Qt.Key_Return)
    assert window.desk.open.log == ()
    assert window.map.slip is not None
    assert "'someday'" in window.map.slip.words.body
    assert page.when.text() == "someday"
