"""The season's page by real clicks and keys: choices, dated work, ticks, files."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import icalendar
import pytest
from pypdf import PdfReader
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication, QLineEdit

from funnelfinder.files import property_file
from funnelfinder.season import Allowance, Done, shipped_rules
from tests.ui.found import found_file
from tests.ui.with_season import TODAY, on_page, retype, season_of, with_season
from ui.controls.words import Words
from ui.main_window import MainWindow
from ui.panels.season import SeasonPage
from ui.panels.work_table import WorkTablePage


def page_of(window: MainWindow) -> SeasonPage:
    page = window.panel.page
    assert isinstance(page, SeasonPage)
    return page


@pytest.fixture
def window(make_window: Callable[..., MainWindow], qtbot, tmp_path: Path) -> MainWindow:
    path = with_season(found_file(tmp_path), opening="09-26")
    window = on_page(make_window(1280, 720), qtbot, path, "Season")
    assert window.column.button.text() == "Stop"
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    return window


def test_the_plan_is_there_at_once_and_gets_its_quiet_ways_in(window: MainWindow) -> None:
    plan = season_of(window).plan
    known = [way for walk in plan.walks for way in walk.ways if way is not None]
    assert known
    texts = [one.text() for one in page_of(window).list.findChildren(Words)]
    assert any("nearest bed" in text and "In by Gate" in text for text in texts)
    assert any("Care:" in text and "gloves" in text for text in texts)


def test_a_typed_peak_makes_band_and_plan_and_can_be_taken_back(
    make_window, qtbot, tmp_path: Path
) -> None:
    window = on_page(make_window(1280, 720), qtbot, found_file(tmp_path), "Season")
    page = page_of(window)
    assert page.choices.isVisible()
    assert not window.column.button.isEnabled()
    window.desk.hour.set(on=TODAY)
    retype(page.choices.peak, "15 Nov")
    place = window.desk.open.place
    assert place.peak_breeding == "11-15"
    assert place.season.phase == "late summer"
    assert page.list.ticks
    assert window.column.button.isEnabled()
    retype(page.choices.peak, "the full moon")
    assert window.desk.open.place.peak_breeding == "11-15"
    assert window.map.slip is not None
    assert "no day of the year" in window.map.slip.words.body
    window.undo()
    assert window.desk.open.place.peak_breeding == ""
    assert not page.list.ticks


def test_a_published_date_comes_with_its_source_and_year(window: MainWindow) -> None:
    page = page_of(window)
    QTest.mouseClick(page.change, Qt.LeftButton)
    table = page.choices.table
    number = table.findText("Alabama", Qt.MatchStartsWith)
    table.setFocus()
    for _ in range(number):
        QTest.keyClick(table, Qt.Key_Down)
        if table.currentIndex() == 0:
            break
    table.activated.emit(number)
    known = table.itemData(number)
    assert window.desk.open.place.peak_breeding == known.peak
    said = page.choices.source.text()
    assert known.source in said
    assert known.year in said
    assert known.sure in said


def test_every_choice_is_kept_at_once_and_can_be_taken_back(window: MainWindow) -> None:
    page = page_of(window)
    QTest.mouseClick(page.change, Qt.LeftButton)
    choices = page.choices
    retype(choices.opening, "October 1")
    assert window.desk.open.place.season.opening == "10-01"
    retype(choices.velvet, "9/3")
    assert window.desk.open.place.season.velvet == "09-03"
    retype(choices.zone.lineEdit(), "America/Chicago")
    assert window.desk.open.place.time_zone == "America/Chicago"
    retype(choices.zone.lineEdit(), "Mars/Olympus")
    assert window.desk.open.place.time_zone == "America/Chicago"
    assert choices.zone.currentText() == "America/Chicago"
    choices.scent.setFocus()
    for _ in range(3):
        QTest.keyClick(choices.scent, Qt.Key_Down)
        choices.scent.activated.emit(choices.scent.currentIndex())
    assert window.desk.open.place.season.allowance is Allowance.SYNTHETIC
    assert "only synthetic scent" in page.caution.text()
    QTest.mouseClick(choices.core, Qt.LeftButton)
    assert window.desk.open.place.season.may_enter_core
    # Trips do not hang on any of it.
    assert window.runs.is_up_to_date
    for _ in range(20):
        window.undo()
    season = window.desk.open.place.season
    assert (season.opening, season.velvet, season.may_enter_core) == ("09-26", "", False)
    assert season.allowance is Allowance.UNKNOWN


def test_until_scent_is_said_no_urine_is_named(window: MainWindow) -> None:
    page = page_of(window)
    assert "none is named" in page.caution.text()
    texts = " ".join(task.scent + task.words for task, _ in page.list.ticks).lower()
    assert "urine" not in texts


def test_a_tick_writes_to_the_log_on_disk_and_the_plan_moves(window: MainWindow, qtbot) -> None:
    page, path = page_of(window), window.desk.open.path
    before = season_of(window).plan
    task, tick = page.list.ticks[0]
    QTest.mouseClick(tick, Qt.LeftButton)
    assert len(window.desk.open.log) == 1
    visit = window.desk.open.log[0]
    assert visit.on == TODAY.isoformat()
    assert visit.spot == task.spot.label
    assert visit.done in (Done.OPENED, Done.CAMERA_HUNG, Done.STAND_HUNG)
    assert season_of(window).plan != before
    assert page.list.done[0].isChecked()
    assert window.desk.open.keeper.finish()
    assert property_file.load_log(path) == (visit,)
    QTest.mouseClick(page.list.done[0], Qt.LeftButton)
    assert window.desk.open.log == ()
    window.undo()
    assert window.desk.open.log == (visit,)
    window.undo()
    assert window.desk.open.log == ()
    assert season_of(window).plan == before
    assert window.desk.open.keeper.finish()
    assert property_file.load_log(path) == ()


def test_law_and_health_stand_first_and_all_of_it_one_click_away(window: MainWindow) -> None:
    page = page_of(window)
    assert page.caution.mapTo(page, page.caution.pos()).y() < page.list.y()
    assert "agency" in page.caution.text()
    assert not page.cautions.isVisible()
    QTest.mouseClick(page.more, Qt.LeftButton)
    assert page.cautions.isVisible()
    for word in ("Ticks", "sick", "saw", "harness", "writing", "gloves"):
        assert word.lower() in page.cautions.text().lower()


def test_the_work_table_is_changed_on_the_bench_and_put_back(window: MainWindow) -> None:
    link = next(
        one
        for one in page_of(window).findChildren(type(page_of(window).change))
        if one.text() == "Open the work table"
    )
    QTest.mouseClick(link, Qt.LeftButton)
    table_page = window.bench.content
    assert isinstance(table_page, WorkTablePage)
    table = table_page.table
    assert table.rowCount() == len(shipped_rules())
    row = next(k for k in range(table.rowCount()) if table.item(k, 4).text() not in ("0", ""))
    name = table.item(row, 0).data(Qt.UserRole)

    def type_in(column: int, text: str) -> None:
        # Coming to a cell opens it.
        table.setCurrentCell(row, 0)
        table.setCurrentCell(row, column)
        editor = QApplication.focusWidget()
        assert isinstance(editor, QLineEdit)
        QTest.keyClick(editor, Qt.Key_A, Qt.ControlModifier)
        QTest.keyClicks(editor, text)
        QTest.keyClick(editor, Qt.Key_Return)
        QApplication.processEvents()

    type_in(4, "12")
    rules = {rule.rule: rule for rule in window.desk.open.place.season.rules}
    assert rules[name].every_days == 12
    type_in(4, "often")
    assert table.item(row, 4).text() == "12"
    type_in(6, "my grandfather")
    rules = {rule.rule: rule for rule in window.desk.open.place.season.rules}
    assert rules[name].source == "my grandfather"
    QTest.mouseClick(table_page.back, Qt.LeftButton)
    assert window.desk.open.place.season.rules == shipped_rules()
    window.undo()
    assert window.desk.open.place.season.rules != shipped_rules()


def test_the_calendar_and_the_table_are_written_and_told(
    window: MainWindow, qtbot, tmp_path: Path
) -> None:
    work = season_of(window)
    with qtbot.waitSignal(work.written, timeout=20_000):
        work.write_calendar(tmp_path / "season.ics")
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=5000)
    assert "season.ics" in window.map.slip.words.body
    assert "America/New_York" in window.map.slip.words.body
    calendar = icalendar.Calendar.from_ical((tmp_path / "season.ics").read_bytes())
    assert len(calendar.walk("VEVENT")) == len(work.plan.walks)
    with qtbot.waitSignal(work.written, timeout=20_000):
        work.write_calendar(tmp_path / "season.csv")
    rows = (tmp_path / "season.csv").read_text().splitlines()
    assert len(rows) > len(work.plan.tasks)
    work.write_calendar(tmp_path / "missing" / "season.ics")
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=20_000)
    assert "could not be written" in window.map.slip.words.body


def test_the_field_sheet_is_written_in_the_worker_with_its_work(
    window: MainWindow, qtbot, tmp_path: Path, monkeypatch
) -> None:
    path = tmp_path / "pocket.pdf"
    monkeypatch.setattr("ui.panels.season.choose_new_file", lambda *_: path)
    assert window.column.button.text() == "Write the field sheet"
    QTest.mouseClick(window.column.button, Qt.LeftButton)
    assert window.column.button.text() == "Stop"
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    assert "pocket.pdf" in window.map.slip.words.body
    text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
    assert "Law and health first" in text
    assert season_of(window).plan.spots[0].name in text
    assert date(2026, 11, 15) == season_of(window).plan.peak_on


def test_without_findings_the_foot_leads_to_the_spots(window: MainWindow) -> None:
    window.desk.open.set_findings(None)
    page_of(window).refresh()
    assert window.column.button.text() == "Back to the spots"
