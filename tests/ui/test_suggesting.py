"""Suggestions of food and beds through the window: asked for, seen, taken, changed, thrown away."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import suggestions
from tests import scenes
from tests.ui.conftest import Mouse
from tests.ui.found import opened
from tests.ui.public_world import button, click
from ui.gestures import Shape
from ui.main_window import MainWindow
from ui.stops import Stop
from ui.suggesting import Suggesting


def ridge(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A ridge that runs west to east, steep enough to have a south side."""
    return 300.0 + 40.0 * np.exp(-(((y - 300.0) / 90.0) ** 2))


def field(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Crops (NLCD 82) in the south-east of the woods (41)."""
    return np.where((x > 560) & (x < 760) & (y > 40) & (y < 180), 82, 41)


def fitting_file(folder: Path) -> Path:
    """Write a property with a ridge and a field, and no marks."""
    place, grids = scenes.scene(height=ridge, cover=field)
    path = folder / "ridge.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    return path


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    """The property at the marks."""
    made = opened(make_window(), qtbot, fitting_file(tmp_path), has_findings=False)
    made.go_to(Stop.MARKS)
    return made


def work_of(window: MainWindow) -> Suggesting:
    return window.findChild(Suggesting)


def suggested(window: MainWindow, qtbot) -> Suggesting:
    """Ask for suggestions by a click and wait for them."""
    work = work_of(window)
    click(window.marks_panel.suggested.ask)
    qtbot.waitUntil(lambda: work.is_open, timeout=30_000)
    QApplication.processEvents()
    return work


def at(window: MainWindow, x_m: float, y_m: float) -> QPoint:
    px, py = window.map.view.outlook.to_px(x_m, y_m)
    return QPoint(round(px), round(py))


def click_on(window: MainWindow, number: int) -> None:
    """Click the plus of a suggestion on the map."""
    middle = work_of(window).shown[number].geometry.representative_point()
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    mouse.click(at(window, middle.x, middle.y))


def of_kind(work: Suggesting, kind: MarkKind) -> int:
    """Return the number of the first suggestion of a kind."""
    return next(number for number, one in work.shown.items() if one.kind is kind)


def test_nothing_is_suggested_unasked(window: MainWindow, qtbot) -> None:
    assert work_of(window).shown == {}
    work = suggested(window, qtbot)
    one = window.desk.open
    assert tuple(work.shown.values()) == suggestions(one.place, one.grids)
    assert {found.kind for found in work.shown.values()} == {MarkKind.BED, MarkKind.FOOD}
    # Offered, and nothing else: no mark, no trips, no step of undo.
    assert one.place.marks == ()
    assert one.history.names == ()
    assert not window.runs.can_run
    assert "Suggested food, Crop field" in window.map.view.accessibleDescription()


def test_they_are_drawn_dashed_and_only_at_the_marks(window: MainWindow, qtbot) -> None:
    before = window.map.view.viewport().grab().toImage()
    work = suggested(window, qtbot)
    after = window.map.view.viewport().grab().toImage()
    assert before != after
    ring = work.shown[of_kind(work, MarkKind.FOOD)].geometry.exterior
    along = (ring.interpolate(share, normalized=True) for share in np.linspace(0.02, 0.98, 400))
    dark = [after.pixelColor(at(window, spot.x, spot.y)).lightness() < 120 for spot in along]
    # Dashes of 4 to 3.4, thinned by the casing: some of the outline is ink, and much is not.
    assert 0.2 < np.mean(dark) < 0.85
    window.go_to(Stop.GROUND)
    assert "Suggested" not in window.map.view.accessibleDescription()


def test_taking_makes_a_mark_that_can_be_taken_back(window: MainWindow, qtbot) -> None:
    work = suggested(window, qtbot)
    number = of_kind(work, MarkKind.FOOD)
    found = work.shown[number]
    click_on(window, number)
    slip = window.map.slip
    assert slip.words.title == f"Food? {found.name}"
    assert found.why in slip.words.body
    click(button(slip, "Take it"))
    one = window.desk.open
    (mark,) = one.place.marks
    assert (mark.kind, mark.name) == (MarkKind.FOOD, found.name)
    assert mark.geometry.equals(found.geometry)
    assert number not in work.shown
    assert one.history.next_undo.name == f"take {found.name}"
    one.keeper.finish()
    assert len(property_file.load_place(one.path).marks) == 1
    QTest.keyClick(window.map.view, Qt.Key_Z, Qt.ControlModifier)
    assert one.place.marks == ()
    assert number in work.shown


def test_thrown_away_stays_away_for_the_sitting(window: MainWindow, qtbot) -> None:
    work = suggested(window, qtbot)
    number = of_kind(work, MarkKind.BED)
    n_before = len(work.shown)
    click_on(window, number)
    click(button(window.map.slip, "Throw it away"))
    assert len(work.shown) == n_before - 1
    # Asked again, and the property opened again: it stays away.
    click(window.marks_panel.suggested.away)
    assert work.shown == {}
    assert len(suggested(window, qtbot).shown) == n_before - 1
    path = window.desk.open.path
    other = path.with_name("other.gpkg")
    property_file.create(other, window.desk.open.place)
    for one in (other, path):
        window.opening.open_property(one)
        qtbot.waitUntil(lambda one=one: window.desk.open.path == one, timeout=10_000)
        assert not work.is_open
    window.go_to(Stop.MARKS)
    assert len(suggested(window, qtbot).shown) == n_before - 1
    click(window.marks_panel.suggested.back)
    assert len(work.shown) == n_before


def test_changed_first_then_taken(window: MainWindow, qtbot) -> None:
    work = suggested(window, qtbot)
    number = of_kind(work, MarkKind.FOOD)
    before = work.shown[number].geometry
    click_on(window, number)
    click(button(window.map.slip, "Change it first"))
    assert isinstance(window.map.view.gesture, Shape)
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    x, y = max(before.exterior.coords, key=lambda point: point[0] + point[1])
    mouse.drag(at(window, x, y), at(window, x + 15, y + 10), at(window, x + 30, y + 20))
    after = work.shown[number].geometry
    assert after.area > before.area
    assert window.desk.open.place.marks == ()
    # Escape lets the corner go, then puts all down, and the slip asks again.
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    QTest.keyClick(window.map.view, Qt.Key_Escape)
    click(button(window.map.slip, "Take it"))
    (mark,) = window.desk.open.place.marks
    assert mark.geometry.equals(after)


def test_keys_alone_walk_to_one_and_take_it(window: MainWindow, qtbot) -> None:
    work = suggested(window, qtbot)
    window.map.focus_map()
    QTest.keyClick(window.map.view, Qt.Key_Tab)
    QTest.keyClick(window.map.view, Qt.Key_Return)
    assert window.map.slip is not None
    focused = QApplication.focusWidget()
    assert focused.text() == "Take it"
    QTest.keyClick(focused, Qt.Key_Space)
    assert len(window.desk.open.place.marks) == 1
    assert len(work.shown) > 0


def test_suggesting_can_be_stopped(window: MainWindow, qtbot) -> None:
    work = work_of(window)
    click(window.marks_panel.suggested.ask)
    assert window.column.button.text() == "Stop"
    click(window.column.button)
    qtbot.waitUntil(lambda: not work.is_busy, timeout=30_000)
    assert window.desk.work is None
