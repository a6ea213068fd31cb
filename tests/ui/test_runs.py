"""Trips and spots found in the worker process, shown on the map, kept in the file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from funnelfinder.files import property_file
from tests.scenes import pair_marks, scene
from ui import edits
from ui.main_window import MainWindow
from ui.stops import Sign, Stop


@pytest.fixture
def with_pair(make_window: Callable[..., MainWindow], tmp_path: Path, qtbot) -> MainWindow:
    place, grids = scene(cell_m=10.0, marks=pair_marks(), settings={"n-redraws": "0"})
    path = tmp_path / "pair.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    window = make_window()
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    window.go_to(Stop.TRIPS)
    return window


def test_trips_are_found_shown_kept_and_fall_out_of_date(with_pair: MainWindow, qtbot) -> None:
    window, one = with_pair, with_pair.desk.open
    assert window.column.button.text() == "Find the trips"
    window.column.press()
    assert window.column.button.text() == "Stop"
    qtbot.waitUntil(lambda: one.findings is not None, timeout=60_000)
    assert len(one.findings.pairs) == 1
    assert window.map.legend.isVisible()
    assert window.header.footpath.buttons[Stop.TRIPS].state.sign is Sign.DONE
    one.keeper.finish()
    kept = property_file.load(one.path).findings
    assert kept.fingerprint == one.findings.fingerprint
    one.do(edits.set_setting("wander", "60"))
    assert window.header.footpath.buttons[Stop.TRIPS].state.words == "out of date"
    assert window.column.button.text().startswith("Bring up to date")
    one.undo()
    assert window.header.footpath.buttons[Stop.TRIPS].state.sign is Sign.DONE


def test_a_run_that_is_stopped_leaves_all_as_it_was(with_pair: MainWindow, qtbot) -> None:
    window, one = with_pair, with_pair.desk.open
    window.column.press()
    window.desk.stop_work()
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=30_000)
    assert one.findings is None
    assert window.map.slip.words.title == "Stopped"
    assert window.column.button.text() == "Find the trips"
