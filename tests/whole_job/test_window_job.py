"""The whole job through the window, by mouse and keys: from a boundary file to a GPX file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import gpxpy
import pytest
from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtWidgets import QApplication

from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests.scenes import EAST_0, NORTH_0
from tests.ui.conftest import (  # noqa: F401 - fixtures of the window
    Mouse,
    make_window,
    own_folders,
    qapp,
    qapp_args,
)
from tests.ui.hollow import write_boundary, write_grids
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Sign, Stop


def draw(window: MainWindow, key: int, corners: list[tuple[float, float]], qtbot) -> None:
    """Press the kind's key, click the corners, and double-click the last."""
    view = window.map.view
    window.map.focus_map()
    qtbot.keyClick(view, key)
    mouse = Mouse(view.viewport(), QApplication.processEvents)
    places = []
    for x, y in corners:
        px, py = view.outlook.to_px(EAST_0 + x, NORTH_0 + y)
        places.append(QPoint(round(px), round(py)))
    for place in places[:-1]:
        mouse.click(place)
    mouse.double_click(places[-1])


def square(x: float, y: float) -> list[tuple[float, float]]:
    """Return the corners of a square of 80 m."""
    return [(x - 40, y - 40), (x + 40, y - 40), (x + 40, y + 40), (x - 40, y + 40)]


def test_from_a_boundary_file_to_a_gpx_file(
    make_window: Callable[..., MainWindow],  # noqa: F811
    tmp_path: Path,
    qtbot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    window = make_window(1440, 900)
    window.open_files([write_boundary(tmp_path)])
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=20_000)
    one = window.desk.open
    # Cells of 10 m keep the test short; a person would leave this as it is.
    for name, text in (("travel-cell", "10"), ("surround", "300"), ("n-drawn", "1000")):
        assert window.desk.do(edits.set_setting(name, text))
    assert window.desk.do(edits.set_setting("n-redraws", "2"))
    assert window.column.button.text() == "Bring in the grids"
    window.open_files(list(write_grids(tmp_path)))
    qtbot.waitUntil(lambda: one.grids is not None, timeout=60_000)
    qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=30_000)
    window.map.focus_map()

    qtbot.keyClick(window.map.view, Qt.Key_Return, Qt.ControlModifier)
    assert window.desk.here is Stop.MARKS
    draw(window, Qt.Key_B, square(160, 300), qtbot)
    window.map_work.put_down()
    draw(window, Qt.Key_F, square(640, 300), qtbot)
    window.map_work.put_down()
    qtbot.waitUntil(lambda: window.following.is_current, timeout=60_000)
    assert window.map.legend.isVisible()
    kinds = [mark.kind for mark in one.place.marks]
    assert kinds == [MarkKind.BED, MarkKind.FOOD]

    window.column.press()
    assert window.desk.here is Stop.TRIPS
    window.column.press()
    assert window.desk.here is Stop.SPOTS
    assert window.column.button.text() == "Find the spots"
    window.column.press()
    qtbot.waitUntil(lambda: one.findings is not None, timeout=120_000)
    qtbot.waitUntil(lambda: window.tending.is_counted, timeout=60_000)
    assert one.findings.clusters
    window.column.press()
    assert window.tending.taken
    window.column.press()
    assert window.desk.here is Stop.TAKE_ALONG

    folder = tmp_path / "handheld"
    monkeypatch.setattr("ui.panels.take_along.choose_folder", lambda parent: folder)
    window.panel._choose_folder()
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=60_000)
    written = gpxpy.parse((folder / "hollow.gpx").read_text(encoding="utf-8"))
    scrapes = [point for point in written.waypoints if point.name.startswith("C1")]
    assert len(scrapes) >= 3
    # The scene lies near 40 N 82 W (UTM 17N, 400 km E, 4300 km N).
    assert all(38.8 < p.latitude < 38.9 and -82.2 < p.longitude < -82.1 for p in scrapes)
    for stop in (Stop.GROUND, Stop.MARKS, Stop.TRIPS, Stop.SPOTS):
        assert window.header.footpath.buttons[stop].state.sign is Sign.DONE
    one.keeper.finish()
    kept = property_file.load(one.path)
    assert kept.findings.fingerprint == one.findings.fingerprint
    assert kept.place.picks == one.place.picks
