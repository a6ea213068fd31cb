"""Trips that follow the hand: coarse while it moves, whole once it lets go, and how fast."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import QEvent, QPoint, Qt
from PyQt5.QtWidgets import QApplication

from funnelfinder.analysis import Workings, walk
from funnelfinder.files import property_file
from funnelfinder.marks import MarkKind
from tests import scenes
from tests.ui.conftest import Mouse
from tests.ui.found import found_file, found_once, opened
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Sign, Stop


def at(window: MainWindow, x_m: float, y_m: float) -> QPoint:
    px, py = window.map.view.outlook.to_px(x_m, y_m)
    return QPoint(round(px), round(py))


def drag_in_hand(window: MainWindow, qtbot, *, south_m: float, when_held=lambda: None) -> None:
    """Drag the mark in hand with a real mouse; ``when_held`` is called before it is let go."""
    mouse = Mouse(window.map.view.viewport(), QApplication.processEvents)
    middle = window.desk.open.in_hand.geometry.centroid
    start, end = at(window, middle.x, middle.y), at(window, middle.x, middle.y - south_m)
    mouse.move(start)
    mouse._send(QEvent.MouseButtonPress, start, Qt.LeftButton, Qt.LeftButton, 0)
    for step in range(1, 6):
        here = start + (end - start) * step / 5
        mouse._send(QEvent.MouseMove, here, Qt.NoButton, Qt.LeftButton, 0)
    when_held()
    mouse._send(QEvent.MouseButtonRelease, end, Qt.LeftButton, Qt.NoButton, 0)


@pytest.fixture
def window(make_window, tmp_path: Path, qtbot) -> MainWindow:
    return opened(make_window(), qtbot, found_file(tmp_path))


def test_passage_follows_the_hand_and_a_slip_says_what_the_move_changed(
    window: MainWindow, qtbot
) -> None:
    one = window.desk.open
    window.go_to(Stop.MARKS)
    bed = next(one.place.of_kind(MarkKind.BED))
    one.take_in_hand(bed.key)
    said = window.marks_panel.card.trips.text()
    assert "of 100 trips" in said
    assert "to Bean field" in said
    rough: list[bool] = []

    def wait_for_rough() -> None:
        qtbot.waitUntil(lambda: window.map.legend._is_rough, timeout=20_000)
        rough.append(True)

    drag_in_hand(window, qtbot, south_m=60.0, when_held=wait_for_rough)
    assert rough
    # The walk may have ended while the hand let go: its end is waited for, not its signal.
    qtbot.waitUntil(
        lambda: window.following.is_current and not window.map.legend._is_rough, timeout=20_000
    )
    assert not window.runs.is_up_to_date
    states = {stop: button.state for stop, button in window.header.footpath.buttons.items()}
    assert states[Stop.TRIPS].sign is Sign.DONE
    assert states[Stop.SPOTS].sign is Sign.WAITING
    _, grids, _ = found_once()
    fresh = walk(one.place, grids, workings=Workings())
    np.testing.assert_allclose(window.following.newest.passage, fresh.passage, rtol=1e-6)
    qtbot.waitUntil(lambda: window.map.slip is not None, timeout=20_000)
    words = window.map.slip.words
    # A pixel of this map is more than a yard, so the hand's way is known to a few.
    assert words.title.startswith("Moved ")
    assert words.title.endswith(" south")
    assert abs(float(words.title.split()[1]) - 60.0 / 0.9144) < 6
    assert len(words.rows) == 2
    assert all("→" in figure and "of 100" in figure for _, figure in words.rows)
    dict(words.actions)["Put it back"]()
    assert one.place.marks == found_once()[0].marks
    assert window.runs.is_up_to_date


def test_a_first_pair_makes_the_passage_rise_in(make_window, tmp_path: Path, qtbot) -> None:
    place, grids = scenes.scene(cell_m=10.0)
    path = tmp_path / "bare.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = opened(make_window(), qtbot, path, has_findings=False)
    bed, food = scenes.pair_marks()
    window.desk.do(edits.add_mark(bed))
    assert not window.following.is_walking
    assert not window.map.legend.isVisible()
    with qtbot.waitSignal(window.following.walked, timeout=20_000):
        window.desk.do(edits.add_mark(food))
    assert window.map.legend.isVisible()
    assert window.header.footpath.buttons[Stop.TRIPS].state.words == "1 pair"
    window.desk.open.undo()
    assert not window.following.is_current


def test_a_cut_off_bed_is_told_and_the_old_trips_stay_under_a_veil(
    window: MainWindow, qtbot
) -> None:
    bed = next(window.desk.open.place.of_kind(MarkKind.BED))
    moat = bed.geometry.buffer(60.0).difference(bed.geometry.buffer(20.0))
    window.desk.do(edits.add_mark(scenes.mark(MarkKind.WATER, moat, "Moat")))
    qtbot.waitUntil(lambda: not window.following.is_walking, timeout=20_000)
    assert "No way leads from West bed to any food" in window.map.slip.words.body
    assert not window.following.is_current
    assert not window.ground_work.is_up_to_date
    window.desk.open.undo()
    assert window.ground_work.is_up_to_date


def test_a_stop_in_the_middle_keeps_the_trips_from_before(make_window, tmp_path, qtbot) -> None:
    place, grids = scenes.scene(
        width=2000.0, depth=2000.0, cell_m=5.0, marks=scenes.pair_marks(900.0, depth=2000.0)
    )
    path = tmp_path / "large.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = opened(make_window(), qtbot, path, has_findings=False)
    window.go_to(Stop.TRIPS)
    window.desk.do(edits.set_setting("pressure", "heavy"))
    qtbot.waitUntil(lambda: window.desk.work is not None, timeout=20_000)
    assert window.column.button.text() == "Stop"
    window.column.press()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=20_000)
    assert window.map.slip.words.title == "Stopped"
    assert [words for words, _ in window.map.slip.words.actions] == ["Run it", "Undo the change"]
    assert not window.following.is_current
    assert window.desk.open.place.settings.cost.pressure.value == "heavy"
