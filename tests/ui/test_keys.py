"""The keys of the whole window: back by Escape, and the whole job without a mouse."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import gpxpy
from PyQt5.QtCore import QPointF, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QAbstractButton, QApplication, QGestureEvent, QPinchGesture

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests.scenes import pair_marks, scene
from tests.ui.found import found_file, opened
from ui import edits
from ui.main_window import MainWindow
from ui.paths import properties_folder
from ui.stops import Stop

Make = Callable[..., MainWindow]


def press(key: int, keys: int = Qt.NoModifier) -> None:
    """Press a key where the keys go now."""
    QTest.keyClick(QApplication.focusWidget(), key, Qt.KeyboardModifiers(keys))
    QApplication.processEvents()


def go_on_to(name: str, key: int, most: int = 60) -> None:
    """Press Tab (next thing) or F6 (next region) until a button of that name has the keys."""
    for _ in range(most):
        press(key)
        here = QApplication.focusWidget()
        if isinstance(here, QAbstractButton) and name in (here.text(), here.accessibleName()):
            return
    raise AssertionError(f"the keys never came to {name}")


def test_escape_steps_back_once_and_then_stops_long_work(
    make_window: Make, tmp_path: Path, qtbot
) -> None:
    place, grids = scene(cell_m=10.0, marks=pair_marks(), settings={"n-redraws": "40"})
    path = tmp_path / "pair.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = opened(make_window(), qtbot, path, has_findings=False)
    window.go_to(Stop.MARKS)
    window.desk.open.take_in_hand(next(place.of_kind(MarkKind.BED)).key)
    window.runs.run()
    window.map.focus_map()
    press(Qt.Key_Escape)
    assert window.desk.open.in_hand is None
    assert window.runs.is_running
    press(Qt.Key_Escape)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=20_000)
    assert window.desk.open.findings is None
    assert window.map.slip.words.title == "Stopped"


def test_the_tick_of_left_out_spots_shows_them(make_window: Make, tmp_path: Path, qtbot) -> None:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    window.go_to(Stop.SPOTS)
    left_out = window.desk.open.findings.left_out
    assert left_out
    assert window.spot_work.scene.left_out == ()
    qtbot.mouseClick(window.map.tools.buttons["Show"], Qt.LeftButton)
    tick = next(
        one
        for one in window.map.slip.findChildren(QAbstractButton)
        if "Left-out spots" in (one.text(), one.accessibleName())
    )
    qtbot.mouseClick(tick, Qt.LeftButton, pos=tick.rect().center() / 4)
    assert window.spot_work.scene.left_out == left_out
    qtbot.mouseClick(tick, Qt.LeftButton, pos=tick.rect().center() / 4)
    assert window.spot_work.scene.left_out == ()


def test_two_fingers_come_closer_to_where_they_are(make_window: Make, tmp_path, qtbot) -> None:
    window = opened(make_window(), qtbot, found_file(tmp_path))
    view = window.map.view
    before, spot = view.outlook, QPointF(300, 200)
    place = before.to_map(spot.x(), spot.y())
    pinch = QPinchGesture()
    pinch.setHotSpot(QPointF(view.mapToGlobal(spot.toPoint())))
    pinch.setScaleFactor(2.0)
    QApplication.sendEvent(view, QGestureEvent([pinch]))
    assert view.outlook.px_m < before.px_m
    near = 3 * before.px_m
    x, y = view.outlook.to_map(spot.x(), spot.y())
    assert abs(x - place[0]) < near
    assert abs(y - place[1]) < near


def test_the_whole_job_without_a_mouse(make_window: Make, qtbot) -> None:
    window = make_window()
    window.start.setFocus()
    go_on_to("Walk over the sample", Qt.Key_Tab)
    press(Qt.Key_Space)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=60_000)
    qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=60_000)
    one = window.desk.open
    # Larger cells keep the test short; a person would leave this as it is.
    for name, text in (("travel-cell", "15"), ("n-redraws", "0"), ("n-drawn", "500")):
        window.desk.do(edits.set_setting(name, text))
    qtbot.waitUntil(lambda: window.following.is_current, timeout=60_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    press(Qt.Key_4, Qt.ControlModifier)
    assert window.column.button.text() == "Find the spots"
    go_on_to("Find the spots", Qt.Key_F6)
    press(Qt.Key_Space)
    qtbot.waitUntil(lambda: one.findings is not None, timeout=120_000)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=60_000)
    press(Qt.Key_Return, Qt.ControlModifier)
    assert window.tending.taken
    press(Qt.Key_Return, Qt.ControlModifier)
    assert window.desk.here is Stop.TAKE_ALONG
    press(Qt.Key_Return, Qt.ControlModifier)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    (file,) = properties_folder().glob("*.gpx")
    assert len(gpxpy.parse(file.read_text(encoding="utf-8")).waypoints) >= 3
