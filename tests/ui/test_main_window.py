"""The window as a person uses it: real mouse and key events, real files."""

from __future__ import annotations

import os
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from PyQt5.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PyQt5.QtGui import QDragEnterEvent, QDropEvent, QWheelEvent
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication, QWidget

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from funnelfinder.shading import passage_of_100
from tests.scenes import EAST_0, NORTH_0
from tests.ui.conftest import Mouse
from tests.ui.hollow import bed, food, hollow, write_boundary, write_grids
from ui.gestures import Shape
from ui.kinds import KINDS
from ui.main_window import MainWindow
from ui.stops import Sign, Stop

Make = Callable[..., MainWindow]


def at(window: MainWindow, x: float, y: float) -> QPoint:
    """Return the pixel of a place at scene coordinates."""
    px, py = window.map.view.outlook.to_px(EAST_0 + x, NORTH_0 + y)
    return QPoint(round(px), round(py))


def mouse_on(window: MainWindow) -> Mouse:
    return Mouse(window.map.view.viewport(), QApplication.processEvents)


def press(window: MainWindow, key: int, keys: int = Qt.NoModifier, times: int = 1) -> None:
    for _ in range(times):
        QTest.keyClick(window.map.view, key, Qt.KeyboardModifiers(keys))


def drop(window: MainWindow, *paths: Path) -> None:
    """Drop files on the window, with the events that Qt sends."""
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    spot = QPoint(300, 300)
    enter = QDragEnterEvent(spot, Qt.CopyAction, mime, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, enter)
    assert window.drop_frame.isVisible()
    let_go = QDropEvent(QPointF(spot), Qt.CopyAction, mime, Qt.LeftButton, Qt.NoModifier)
    QApplication.sendEvent(window, let_go)
    assert not window.drop_frame.isVisible()


def open_kept(window: MainWindow, qtbot, path: Path) -> None:
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)


@pytest.fixture
def with_bed(make_window: Make, tmp_path: Path, qtbot) -> MainWindow:
    property_file.create(tmp_path / "hollow.gpkg", hollow(bed()))
    window = make_window()
    open_kept(window, qtbot, tmp_path / "hollow.gpkg")
    window.go_to(Stop.MARKS)
    return window


def test_a_boundary_dropped_on_the_start_makes_a_property_that_is_kept(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    window = make_window()
    assert window.pages.currentWidget() is window.start
    drop(window, write_boundary(tmp_path))
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    assert window.pages.currentWidget() is window.work_page
    assert window.desk.here is Stop.GROUND
    assert window.header.name.text() == "Hollow"
    # 800 m × 600 m are 480,000 / 4046.856 = 118.6 acres.
    assert window.header.kept.text().startswith("119 acres · All kept")
    path = window.desk.open.path
    assert path.parent == tmp_path
    assert property_file.load_place(path).name == "Hollow"


def test_grids_dropped_one_by_one_are_read_and_the_map_shows_them(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    window = make_window()
    drop(window, write_boundary(tmp_path))
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    panel = window.panels[Stop.GROUND]
    assert panel.foot().button == "Bring in the grids"
    names = [label.text() for label in panel.findChildren(QWidget, "") if hasattr(label, "text")]
    assert any("USGS_13_n" in name or "USGS_1M_17" in name for name in names)
    elevation, cover = write_grids(tmp_path)
    drop(window, elevation)
    qtbot.waitUntil(lambda: "north.tif" in panel.foot().line, timeout=10_000)
    assert window.desk.open.grids is None
    drop(window, cover)
    qtbot.waitUntil(lambda: window.desk.open.grids is not None, timeout=20_000)
    qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=20_000)
    states = window.header.footpath.buttons
    assert states[Stop.GROUND].state.sign is Sign.DONE
    window.desk.open.keeper.finish()
    assert property_file.load(window.desk.open.path).grids is not None
    window.undo()
    assert window.desk.open.grids is None


def test_a_boundary_is_drawn_on_a_picture_of_ones_own(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    window = make_window()
    elevation, _ = write_grids(tmp_path)
    drop(window, elevation)
    qtbot.waitUntil(lambda: window.backdrop_work.is_sketching, timeout=10_000)
    assert "permission to hunt" in window.map.hint.text
    mouse = mouse_on(window)
    for x, y in ((0, 0), (800, 0), (800, 600)):
        mouse.click(at(window, x, y))
    mouse.double_click(at(window, 0, 600))
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    place = window.desk.open.place
    assert place.boundary.area == pytest.approx(800 * 600, rel=0.03)
    assert place.epsg == 32617
    assert property_file.load_place(window.desk.open.path).boundary.equals(place.boundary)
    assert window.desk.open.grids is None


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


def test_the_wheel_comes_closer_to_the_pointer_and_nought_shows_the_whole(
    with_bed: MainWindow,
) -> None:
    window = with_bed
    view = window.map.view
    spot = at(window, 600, 400)
    place = view.outlook.to_map(spot.x(), spot.y())
    before = view.outlook.px_m
    wheel = QWheelEvent(
        QPointF(spot),
        QPointF(view.viewport().mapToGlobal(spot)),
        QPoint(),
        QPoint(0, 120),
        Qt.NoButton,
        Qt.NoModifier,
        Qt.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view.viewport(), wheel)
    assert view.outlook.px_m < before
    assert view.outlook.to_map(spot.x(), spot.y()) == pytest.approx(place, abs=1e-3)
    press(window, Qt.Key_0)
    assert view.outlook.px_m == pytest.approx(before)


def test_measuring_tells_yards_and_bearings(with_bed: MainWindow) -> None:
    window, mouse = with_bed, mouse_on(with_bed)
    press(window, Qt.Key_M)
    assert window.map.tools.buttons["Measure"].isChecked()
    mouse.click(at(window, 400, 100))
    mouse.move(at(window, 400, 500))
    words = window.map.view.gesture.sketch.words
    # 400 m on the map are 437 yards; UTM's scale and the pixel leave 2 % of play.
    yards = int(words.split()[0])
    assert yards == pytest.approx(437, rel=0.02)
    assert "true" in words
    assert "magnetic" in words
    press(window, Qt.Key_M)
    assert not window.map.tools.buttons["Measure"].isChecked()


def test_steps_by_click_and_by_keys(with_bed: MainWindow, qtbot) -> None:
    window = with_bed
    qtbot.mouseClick(window.header.footpath.buttons[Stop.GROUND], Qt.LeftButton)
    assert window.desk.here is Stop.GROUND
    press(window, Qt.Key_5, Qt.ControlModifier)
    assert window.desk.here is Stop.TAKE_ALONG
    press(window, Qt.Key_2, Qt.ControlModifier)
    assert window.column.panel is window.marks_panel
    assert not window.column.button.isEnabled()
    assert window.column.line.text() == "Now draw what they walk to. Trips need one food."


def test_a_file_of_no_known_kind_is_refused_while_it_is_held(
    make_window: Make, tmp_path: Path
) -> None:
    window = make_window()
    path = tmp_path / "letter.docx"
    path.write_bytes(b"x")
    drop(window, path)
    assert window.drop_frame.words.startswith("This cannot be read here.")
    assert "This cannot be read here." in window.start.trouble.text()


def test_a_disk_that_cannot_be_written_is_told_and_the_change_is_held(
    with_bed: MainWindow, qtbot, monkeypatch: pytest.MonkeyPatch
) -> None:
    from funnelfinder.errors import PropertyFileError
    from ui import edits, open_property

    window, one = with_bed, with_bed.desk.open
    real = open_property.property_file.save_place

    def full(path: Path, place: object) -> None:
        raise PropertyFileError("The disk is full.", where=path.name, remedy="Make room.")

    monkeypatch.setattr(open_property.property_file, "save_place", full)
    one.do(edits.rename_property("Brome"))
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=5_000)
    assert "The disk is full." in window.map.slip.words.body
    assert "is held and written as soon as that can be" in window.map.slip.words.body
    assert "Not all is kept yet" in window.header.kept.text()
    monkeypatch.setattr(open_property.property_file, "save_place", real)
    with qtbot.waitSignal(one.keeper.kept):
        one.keeper.try_again()
    assert property_file.load_place(one.path).name == "Brome"


def test_everything_that_can_be_used_has_a_name(with_bed: MainWindow) -> None:
    from PyQt5.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QSlider

    window = with_bed
    window.desk.open.take_in_hand(window.desk.open.place.marks[0].key)
    nameless = [
        type(one).__name__
        for kind in (QAbstractButton, QComboBox, QLineEdit, QSlider)
        for one in window.findChildren(kind)
        if one.isVisible() and not (one.accessibleName() or one.text())
    ]
    assert nameless == []
    assert window.map.view.accessibleName() == "Map"


@pytest.mark.parametrize("size", [(1440, 900), (1280, 720), (640, 360)])
def test_the_map_has_most_of_the_window_and_nothing_is_cut_off(
    with_bed: MainWindow, size: tuple[int, int]
) -> None:
    window = with_bed
    window.resize(*size)
    QApplication.processEvents()
    if size[0] >= 900:
        share = window.map.width() * window.map.height() / (size[0] * size[1])
        assert share > 0.64
    header = window.header
    for button in (*header.footpath.buttons.values(), header.undo, window.column.button):
        assert button.isVisible()
        corner = button.mapTo(window, button.rect().bottomRight())
        assert corner.x() <= size[0]
        assert corner.y() <= size[1]
    for tool in window.map.tools.buttons.values():
        assert tool.mapTo(window, tool.rect().bottomRight()).y() <= size[1]


def test_larger_text_keeps_the_window_whole(with_bed: MainWindow) -> None:
    from ui.look import set_text_scale
    from ui.look.style import sheet

    window = with_bed
    try:
        for _ in range(4):
            press(window, Qt.Key_Plus, Qt.ControlModifier)
        # 720 px at 1.4 are as 514 px: the rules of a low window.
        assert window.header.height() == round(48 * 1.4)
        assert window.column.width() == round(320 * 1.4)
        assert window.desk.preferences.text_scale == pytest.approx(1.4)
    finally:
        set_text_scale(1.0)
        QApplication.instance().setStyleSheet(sheet())


def colours_of(window: MainWindow, x: float, y: float, half: int = 3) -> np.ndarray:
    """Return the mean colour of a small square of the screen at scene coordinates."""
    image = window.map.view.viewport().grab().toImage()
    spot = at(window, x, y)
    ratio = image.devicePixelRatio()
    values = [
        image.pixelColor(round((spot.x() + i) * ratio), round((spot.y() + j) * ratio)).getRgb()[:3]
        for i in range(-half, half + 1)
        for j in range(-half, half + 1)
    ]
    return np.mean(values, axis=0)


def test_level_woods_and_passage_have_the_colours_of_the_printed_map(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    from tests.scenes import scene
    from ui.remembered import Layer

    place, grids = scene(cell_m=5.0, marks=[])
    path = tmp_path / "level.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = make_window()
    for name in ("contours", "names"):
        window.desk.show_layer(name, Layer(is_shown=False))
    open_kept(window, qtbot, path)
    qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=20_000)
    qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=20_000)
    # Level ground in the woods is #D8DACD; passage over it at 2, 5, 10, 20 and 40 of 100 gives
    # the colours below (the project's own ramp, computed once by hand from its blend).
    assert colours_of(window, 400, 500) == pytest.approx((0xD8, 0xDA, 0xCD), abs=3)
    reach_m = place.settings.scrapes.reach_m
    per_m = np.zeros(grids.cover.grid.shape, dtype=np.float32)
    expected = {
        2: (0xDF, 0xCD, 0xB7),
        5: (0xD4, 0x9D, 0x83),
        10: (0xB7, 0x6C, 0x5D),
        20: (0x93, 0x49, 0x4D),
        40: (0x64, 0x31, 0x3F),
    }
    grid = grids.cover.grid
    for number, of_100 in enumerate(expected):
        west = EAST_0 + 120.0 * number + 80
        cols = slice(*(round((x - grid.west_m) / grid.cell_m) for x in (west, west + 80)))
        rows = slice(*(round((grid.north_m - NORTH_0 - y) / grid.cell_m) for y in (340, 260)))
        per_m[rows, cols] = of_100 / 200.0 / reach_m
    assert passage_of_100(per_m, reach_m).max() == pytest.approx(40)
    window.ground_work.is_up_to_date = True
    window.ground_work.show_passage(per_m, grid)
    fade = window.ground_work._fade
    qtbot.waitUntil(lambda: fade.state() == fade.Stopped, timeout=3_000)
    for number, wanted in enumerate(expected.values()):
        got = colours_of(window, 120.0 * number + 120, 300)
        assert got == pytest.approx(wanted, abs=3), list(expected)[number]
    window.map.view.hold_passage_back(True)
    assert colours_of(window, 120, 300) == pytest.approx((0xD8, 0xDA, 0xCD), abs=3)
    window.map.view.hold_passage_back(False)
    edge = darkest_row(window, 120.0 * 4 + 80, 300)
    window.desk.show_layer("strong lines", Layer(is_shown=True))
    assert darkest_row(window, 120.0 * 4 + 80, 300) < edge - 20
    window.desk.show_layer("strong lines", Layer(is_shown=False))
    assert darkest_row(window, 120.0 * 4 + 80, 300) == pytest.approx(edge, abs=2)


def darkest_row(window: MainWindow, x: float, y: float) -> int:
    """How dark the darkest pixel is within 8 m west and east of a place."""
    image = window.map.view.viewport().grab().toImage()
    west, east = at(window, x - 8, y), at(window, x + 8, y)
    return min(
        image.pixelColor(column, west.y()).lightness() for column in range(west.x(), east.x())
    )


def test_a_bed_is_drawn_in_ink_with_lashes_inside(with_bed: MainWindow) -> None:
    window = with_bed
    window.map_work.put_down()
    view = window.map.view
    view.closer(6)
    view.look(
        view.outlook.__class__(
            x_m=EAST_0 + 200,
            y_m=NORTH_0 + 300,
            px_m=0.4,
            width_px=view.outlook.width_px,
            height_px=view.outlook.height_px,
        )
    )
    QApplication.processEvents()
    image = view.viewport().grab().toImage()

    def darkest(x: float, y: float) -> int:
        spot = at(window, x, y)
        return min(
            image.pixelColor(spot.x() + i, spot.y() + j).lightness()
            for i in range(-2, 3)
            for j in range(-2, 3)
        )

    assert darkest(160, 300) < 60
    assert darkest(240, 310) < 60
    row = at(window, 200, 340 - 1.0)
    dark = [image.pixelColor(row.x() + dx, row.y() + 1).lightness() < 110 for dx in range(-80, 80)]
    lashes = sum(b and not a for a, b in pairwise(dark))
    # A side of 200 px at a lash every 11 px: about 14 in the 160 px looked at.
    assert 9 <= lashes <= 18


def test_the_window_opens_again_where_a_killed_one_left_off(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    path = tmp_path / "left.gpkg"
    property_file.create(path, hollow(bed(), food()))
    # A lock that nobody holds is what a killed program leaves behind.
    path.with_name(f".{path.name}.lock").write_text("pid")  # as after kill -9
    window = make_window()
    open_kept(window, qtbot, path)
    assert "closed without a goodbye" in window.map.hint.text
    assert len(window.desk.open.place.marks) == 2


def test_closing_remembers_the_property_and_the_start_shows_it(with_bed: MainWindow, qtbot) -> None:
    window = with_bed
    path = window.desk.open.path
    assert window.leaving.close()
    assert window.pages.currentWidget() is window.start
    from ui.panels.start import RecentCard

    cards = [card for card in window.start.findChildren(RecentCard) if card.isVisible()]
    assert [card.text() for card in cards] == ["Hollow"]
    qtbot.mouseClick(cards[0], Qt.LeftButton)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    assert window.desk.open.path.resolve() == path.resolve()
    assert os.access(path, os.W_OK)
