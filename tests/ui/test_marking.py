"""Marks drawn, shaped and worked on by real mouse and key events."""

from __future__ import annotations

import pytest
import shapely
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication, QWidget

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests.scenes import EAST_0, NORTH_0
from tests.ui.hand import at, mouse_on, press
from ui.gestures import Shape
from ui.kinds import KINDS
from ui.main_window import MainWindow

AREAS = [MarkKind.BED, MarkKind.FOOD, MarkKind.KEEP_OFF, MarkKind.COVER, MarkKind.WATER]


AREAS += [MarkKind.CORE]


LINES = [MarkKind.FENCE, MarkKind.CREEK, MarkKind.DITCH, MarkKind.ROAD, MarkKind.TRAIL]


PLACES = [kind for kind in MarkKind if kind not in (*AREAS, *LINES)]


@pytest.mark.parametrize("kind", MarkKind, ids=lambda kind: kind.value)
def test_every_kind_is_drawn_by_clicking_and_kept(
    with_bed: MainWindow, qtbot, kind: MarkKind
) -> None:
    window, mouse = with_bed, mouse_on(with_bed)
    button = window.marks_panel.kinds[kind]
    if not button.isVisible():
        opener = "sign" if kind in (MarkKind.RUB, MarkKind.SCRAPE, MarkKind.TRACKS) else "more"
        window.marks_panel.show_more("sign" if kind is MarkKind.TRAIL else opener)
    qtbot.mouseClick(button, Qt.LeftButton)
    assert button.isChecked()
    assert window.map.hint.text == KINDS[kind].hint
    corners = [(400, 150), (560, 150), (560, 260), (400, 260)]
    if kind in AREAS:
        for corner in corners[:-1]:
            mouse.click(at(window, *corner))
        mouse.double_click(at(window, *corners[-1]))
    elif kind in LINES:
        mouse.click(at(window, *corners[0]))
        mouse.double_click(at(window, *corners[1]))
    else:
        mouse.click(at(window, *corners[0]))
    mark = window.desk.open.in_hand
    assert mark is not None
    assert mark.kind is kind
    assert window.marks_panel.card is not None
    near = window.map.view.outlook.px_m
    if kind in AREAS:
        assert mark.geometry.area == pytest.approx(160 * 110, rel=0.05)
    elif kind in LINES:
        assert mark.geometry.length == pytest.approx(160, abs=4 * near)
    else:
        assert mark.geometry.distance(shapely.Point(EAST_0 + 400, NORTH_0 + 150)) < 2 * near
    window.desk.open.keeper.finish()
    assert property_file.load_place(window.desk.open.path).marks[-1] == mark


def test_shaping_moving_undo_and_redo_with_the_mouse(with_bed: MainWindow, qtbot) -> None:
    window, mouse = with_bed, mouse_on(with_bed)
    mouse.click(at(window, 200, 300))
    one = window.desk.open
    assert one.in_hand.name == "Alder knob"
    before = one.in_hand.geometry
    mouse.drag(at(window, 240, 340), at(window, 260, 350), at(window, 290, 380))
    assert one.in_hand.geometry.area > before.area
    assert one.history.names == ("shape Alder knob",)
    mouse.drag(at(window, 200, 300), at(window, 210, 290), at(window, 300, 250))
    assert one.in_hand.geometry.centroid.x > before.centroid.x + 60
    assert window.header.undo.accessibleName() == "Undo: move Alder knob"
    qtbot.mouseClick(window.header.undo, Qt.LeftButton)
    press(window, Qt.Key_Z, Qt.ControlModifier)
    assert one.in_hand.geometry.equals(before)
    press(window, Qt.Key_Y, Qt.ControlModifier)
    assert one.history.n_done == 1
    mouse.double_click(at(window, 200, 260))
    assert len(one.in_hand.geometry.exterior.coords) - 1 == 5


def test_a_hand_that_slips_on_the_way_past_moves_the_map_never_a_mark(
    with_bed: MainWindow,
) -> None:
    window, mouse = with_bed, mouse_on(with_bed)
    before, looked = window.desk.open.place, window.map.view.outlook
    mouse.drag(at(window, 200, 300), at(window, 260, 300), at(window, 320, 300))
    assert window.desk.open.place is before
    assert window.map.view.outlook.x_m < looked.x_m


def test_an_outline_that_crosses_itself_is_told_at_the_place(with_bed: MainWindow) -> None:
    window, mouse = with_bed, mouse_on(with_bed)
    press(window, Qt.Key_F)
    for corner in ((400, 100), (600, 300), (600, 100), (400, 300)):
        mouse.click(at(window, *corner))
    assert window.map.slip is not None
    assert window.map.slip.words.title == "This outline crosses itself here"
    x, y = window.map.slip.words.at_m
    near = 3 * window.map.view.outlook.px_m
    assert (x - EAST_0, y - NORTH_0) == pytest.approx((500, 200), abs=near)
    assert len(window.map.view.gesture.corners) == 3
    press(window, Qt.Key_Escape)


def test_a_mark_is_drawn_and_worked_on_by_keys_alone(with_bed: MainWindow, qtbot) -> None:
    window = with_bed
    one = window.desk.open
    window.map.focus_map()
    press(window, Qt.Key_F)
    for key, times in ((None, 0), (Qt.Key_Right, 12), (Qt.Key_Up, 9), (Qt.Key_Left, 12)):
        if key is not None:
            press(window, key, times=times)
        press(window, Qt.Key_Space)
    press(window, Qt.Key_Return)
    assert one.in_hand.kind is MarkKind.FOOD
    px_m = window.map.view.outlook.px_m
    assert one.in_hand.geometry.area == pytest.approx(96 * px_m * 72 * px_m, rel=0.02)
    press(window, Qt.Key_BracketRight)
    assert one.in_hand.weight == 2.0
    y = one.in_hand.geometry.centroid.y
    press(window, Qt.Key_Up, Qt.ShiftModifier)
    # Shift and an arrow: 1 yard, 0.9144 m.
    assert one.in_hand.geometry.centroid.y - y == pytest.approx(0.9144, abs=1e-6)
    press(window, Qt.Key_F2)
    QTest.keyClicks(QApplication.focusWidget(), "Bean field")
    QTest.keyClick(QApplication.focusWidget(), Qt.Key_Return)
    assert one.in_hand.name == "Bean field"
    window.map.focus_map()
    press(window, Qt.Key_Delete)
    assert [mark.name for mark in one.place.marks] == ["Alder knob"]
    press(window, Qt.Key_Z, Qt.ControlModifier)
    assert [mark.name for mark in one.place.marks] == ["Alder knob", "Bean field"]


def test_tab_walks_the_marks_and_enter_takes_one(with_bed: MainWindow) -> None:
    window = with_bed
    window.map.focus_map()
    press(window, Qt.Key_Tab)
    press(window, Qt.Key_Return)
    assert window.desk.open.in_hand.name == "Alder knob"
    press(window, Qt.Key_Tab)
    gesture = window.map.view.gesture
    assert isinstance(gesture, Shape)
    assert gesture.chosen == 0
    press(window, Qt.Key_Escape, times=2)
    assert window.desk.open.in_hand is None


def test_the_card_changes_who_use_and_note(with_bed: MainWindow, qtbot) -> None:
    window, one = with_bed, with_bed.desk.open
    one.take_in_hand(one.place.marks[0].key)
    card = window.marks_panel.card
    buck = next(b for b in card.findChildren(QWidget) if b.accessibleName().endswith(": buck"))
    qtbot.mouseClick(buck, Qt.LeftButton)
    assert one.in_hand.who == "buck"
    slider = card.use
    qtbot.mouseClick(slider, Qt.LeftButton, pos=QPoint(round(slider.x_of(4)), 15))
    assert one.in_hand.weight == 4.0
    press(window, Qt.Key_N)
    QTest.keyClicks(card.note, "seen twice")
    QTest.keyClick(card.note, Qt.Key_Escape)
    assert one.in_hand.note == "seen twice"
    take_away = next(
        b for b in card.findChildren(QWidget) if b.accessibleName() == "Take this bed away"
    )
    qtbot.mouseClick(take_away, Qt.LeftButton)
    assert one.place.marks == ()
    assert one.history.names[-1] == "take Alder knob away"
