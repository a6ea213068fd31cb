"""Spots in the window: picked, left out, moved and put by hand, by mouse and keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from funnelfinder.scrapes import middle_m
from tests import scenes
from tests.ui.conftest import Mouse
from tests.ui.found import found_file, found_once, opened
from ui import edits
from ui.canvas.spot_slip import SpotSlip, said_how_sure
from ui.gestures import Place
from ui.main_window import MainWindow
from ui.stops import Sign, Stop


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    window.go_to(Stop.SPOTS)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=30_000)
    return window


def click_on(window: MainWindow, x_m: float, y_m: float) -> None:
    px, py = window.map.view.outlook.to_px(x_m, y_m)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    mouse.click(QPoint(round(px), round(py)))


def test_nothing_is_picked_at_first_and_the_best_are_one_press_away(window: MainWindow) -> None:
    clusters = found_once()[2].clusters
    assert "Nothing picked yet." in window.panel.words.text()
    window.column.press()
    n = min(5, len(clusters))
    assert len(window.tending.taken) == n
    assert window.column.button.text() == f"Next: take {n} along"
    share = window.tending.share_of(clusters[:n])
    assert f"{100 * share:.0f} of 100 trips" in window.panel.words.text().replace("</span>", "")
    one = window.desk.open
    one.keeper.finish()
    assert len(property_file.load(one.path).place.picks) == n
    assert window.header.footpath.buttons[Stop.SPOTS].state.sign is Sign.DONE
    one.undo()
    assert window.tending.taken == ()


def test_unticking_changes_the_total_at_once(window: MainWindow) -> None:
    window.column.press()
    before = window.panel.words.text()
    first = window.tending.taken[0]
    window.panel.rows[first.number].tick.click()
    assert first.number not in {one.number for one in window.tending.taken}
    assert window.panel.words.text() != before
    rest = window.tending.share_of(window.tending.taken)
    assert rest < window.tending.share_of(found_once()[2].clusters[: len(window.tending.taken) + 1])


def test_row_and_disc_take_the_same_spot_in_hand(window: MainWindow, qtbot) -> None:
    first = window.tending.clusters[0]
    qtbot.mouseClick(window.panel.rows[first.number].body, Qt.LeftButton)
    assert window.spot_work.in_hand == first.number
    slip = window.map.slip
    assert isinstance(slip.words.content, SpotSlip)
    assert first.name in slip.words.title
    window.map.close_slip()
    window.spot_work.hold(0)
    disc = window.spot_work.screen_of(first.number)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    mouse.click(disc.toPoint())
    assert window.spot_work.in_hand == first.number
    assert window.panel.rows[first.number].body.isChecked()


def test_keys_walk_the_spots_and_take_them(window: MainWindow, qtbot) -> None:
    window.map.focus_map()
    numbers = [one.number for one in window.spot_work.scene.clusters]
    qtbot.keyClick(window.map.view, Qt.Key_PageDown)
    assert window.spot_work.in_hand == numbers[0]
    qtbot.keyClick(window.map.view, Qt.Key_PageUp)
    assert window.spot_work.in_hand == numbers[-1]
    qtbot.keyClick(window.map.view, Qt.Key_1)
    assert window.spot_work.in_hand == 1
    window.map.focus_map()
    qtbot.keyClick(window.map.view, Qt.Key_Space)
    assert {one.number for one in window.tending.taken} == {1}
    qtbot.keyClick(window.map.view, Qt.Key_Space)
    assert window.tending.taken == ()


def test_a_spot_is_put_by_hand_with_its_share_on_the_pointer(window: MainWindow, qtbot) -> None:
    window.spot_work.place()
    good = scenes.corner(330, 420)
    px, py = window.map.view.outlook.to_px(*good)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    with qtbot.waitSignal(window.tending.judged, timeout=20_000):
        mouse.move(QPoint(round(px), round(py)))
    assert window.spot_work.scene.pointing[1].endswith("of 100 here.")
    assert not window.spot_work.scene.pointing[2]
    bad = scenes.corner(710, 330)
    px_bad, py_bad = window.map.view.outlook.to_px(*bad)
    with qtbot.waitSignal(window.tending.judged, timeout=20_000):
        mouse.move(QPoint(round(px_bad), round(py_bad)))
    qtbot.waitUntil(lambda: window.spot_work.scene.pointing[2], timeout=20_000)
    n = len(window.tending.clusters)
    mouse.click(QPoint(round(px), round(py)))
    assert not isinstance(window.map.view.gesture, Place)
    qtbot.waitUntil(lambda: len(window.tending.clusters) == n + 1, timeout=20_000)
    own = window.tending.clusters[-1]
    assert own.is_by_hand
    assert window.tending.is_taken(own)
    assert own.number in window.panel.rows
    window.desk.open.undo()
    assert len(window.tending.clusters) == n


def test_a_spot_is_put_by_keys_alone(window: MainWindow, qtbot) -> None:
    window.map.focus_map()
    n = len(window.tending.clusters)
    qtbot.keyClick(window.map.view, Qt.Key_P)
    for _ in range(3):
        qtbot.keyClick(window.map.view, Qt.Key_Left)
    qtbot.keyClick(window.map.view, Qt.Key_Space)
    qtbot.waitUntil(lambda: len(window.tending.clusters) == n + 1, timeout=20_000)
    assert window.tending.clusters[-1].is_by_hand


def test_a_spot_left_out_is_told_and_comes_back(window: MainWindow, qtbot) -> None:
    window.column.press()
    first = window.tending.clusters[0]
    window.spot_work.hold(first.number)
    window.map.slip.words.content.left_out.emit()
    assert window.map.slip.words.title == "Left out"
    assert f"Without {first.name}" in window.map.slip.words.body
    assert first.number not in window.panel.rows
    assert window.runs.is_up_to_date
    dict(window.map.slip.words.actions)["Put it back"]()
    assert first.number in window.panel.rows


def test_a_spot_moves_where_one_clicks(window: MainWindow, qtbot) -> None:
    first = window.tending.clusters[0]
    window.spot_work.move(first.number)
    x_m, y_m = scenes.corner(330, 420)
    click_on(window, x_m, y_m)
    qtbot.waitUntil(lambda: any(one.is_by_hand for one in window.tending.clusters), timeout=20_000)
    own = next(one for one in window.tending.clusters if one.is_by_hand)
    assert abs(middle_m(own)[0] - x_m) < 3
    assert own.name == first.name
    assert window.tending.is_left(first)


def test_what_a_rule_left_out_is_listed_and_taken_anyway(window: MainWindow, qtbot) -> None:
    left = found_once()[2].left_out
    window.panel.show_page("left out")
    assert left
    n = len(window.tending.clusters)
    window.panel._take_anyway(left[0].x_m, left[0].y_m, left[0].rule)
    qtbot.waitUntil(lambda: len(window.tending.clusters) == n + 1, timeout=20_000)
    assert left[0].rule in window.tending.clusters[-1].name


def test_a_setting_makes_spots_out_of_date_and_goes_back_to_usual(window: MainWindow) -> None:
    window.panel.show_page("chosen")
    row = window.panel.chosen.rows["standoff"]
    assert row.back.isHidden()
    row._edit.setText("120")
    row._edit.editingFinished.emit()
    assert round(window.desk.open.place.settings.scrapes.standoff_m / 0.9144) == 120
    assert not window.runs.is_up_to_date
    assert window.column.button.text().startswith("Bring up to date")
    assert window.header.footpath.buttons[Stop.SPOTS].state.words == "out of date"
    row.back.click()
    assert window.runs.is_up_to_date
    row._edit.setText("9000")
    row._edit.editingFinished.emit()
    assert window.map.slip.words.is_trouble
    assert "out of its range" in window.map.slip.words.body
    tick = window.panel.chosen.detectors["saddle"]
    tick.click()
    assert window.desk.open.place.detectors_off == {"saddle"}
    window.desk.open.undo()
    assert tick.isChecked()


def test_cover_costs_are_typed_on_the_bench(window: MainWindow) -> None:
    window.go_to(Stop.TRIPS)
    window.open_table()
    table = window.bench.content.table
    item = table.item(0, 1)
    code = int(item.data(Qt.UserRole))
    item.setText("17")
    known = window.desk.open.place.cover_table.by_code[code]
    assert known.resistance == 17.0
    item.setText("a lot")
    assert "'a lot' is not a number." in window.bench.trouble.text()
    assert table.item(0, 1).text() == "17"
    window.bench.content.back.click()
    assert window.desk.open.place.cover_table == found_once()[0].cover_table
    window.bench.close_bench()
    assert not window.bench.isVisible()


def test_no_redraws_is_said() -> None:
    assert "not tested" in said_how_sure(found_once()[2].clusters[0])


def test_no_place_that_passes_is_told_with_the_nearest_miss(window: MainWindow, qtbot) -> None:
    window.desk.do(edits.set_setting("standoff", "400"))
    window.desk.do(edits.set_setting("cover-within", "0"))
    window.column.press()
    qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=60_000)
    if not window.tending.clusters:
        assert "No place passed the rules." in window.panel.words.text()
        assert window.column.button.text() == "Show what was left out"
    else:
        assert window.tending.clusters[0].share < found_once()[2].clusters[0].share


def test_everything_at_these_steps_has_a_name(window: MainWindow) -> None:
    from PyQt5.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QSlider, QTableWidget

    def nameless() -> list[str]:
        return [
            type(one).__name__
            for kind in (QAbstractButton, QComboBox, QLineEdit, QSlider, QTableWidget)
            for one in window.findChildren(kind)
            if one.isVisible()
            and not (one.accessibleName() or getattr(one, "text", str)())
            and type(one) is not QAbstractButton
        ]

    window.column.press()
    window.spot_work.step(1)
    assert nameless() == []
    first = window.tending.clusters[0]
    window.desk.changed.emit()
    assert f"Spot 1, {first.name}" in window.map.view.accessibleDescription()
    window.panel.show_page("chosen")
    assert nameless() == []
    window.go_to(Stop.TRIPS)
    window.open_table()
    assert nameless() == []
    window.go_to(Stop.TAKE_ALONG)
    assert nameless() == []
