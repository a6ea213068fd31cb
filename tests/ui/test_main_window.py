"""The window as a person uses it: real mouse and key events, real files."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PyQt5.QtCore import QPoint, QPointF, Qt
from PyQt5.QtGui import QWheelEvent
from PyQt5.QtWidgets import QApplication, QWidget

from funnelfinder.files import property_file
from tests.ui.hand import Make, at, drop, mouse_on, open_kept, press
from tests.ui.hollow import bed, food, hollow, write_boundary, write_grids
from ui.main_window import MainWindow
from ui.stops import Sign, Stop


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
