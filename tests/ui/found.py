"""A small property with findings, in a file, as a person would have it on the second evening."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from funnelfinder.analysis import Findings, run
from funnelfinder.files import property_file
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from tests.analysis.small import small_property
from ui.main_window import MainWindow


@cache
def found_once() -> tuple[Property, Grids, Findings]:
    """Return the property, its grids and its findings; made once for all tests."""
    place, grids = small_property(**{"n-redraws": "0"})
    place = replace(place, name="Brome Hollow")
    return place, grids, run(place, grids)


def found_file(folder: Path) -> Path:
    """Write the property with its findings."""
    place, grids, findings = found_once()
    path = folder / "brome-hollow.gpkg"
    property_file.create(path, place)
    property_file.save_grids(path, grids)
    property_file.save_findings(path, findings)
    return path


def opened(
    window: MainWindow, qtbot, path: Path, *, has_findings: bool = True, has_grids: bool = True
) -> MainWindow:
    """Open a property file and wait until all of it is shown."""
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=20_000)
    if has_grids:
        qtbot.waitUntil(lambda: window.ground_work.forms is not None, timeout=30_000)
    qtbot.waitUntil(lambda: not window.ground_work.is_drawing, timeout=30_000)
    if has_findings:
        qtbot.waitUntil(lambda: window.runs.is_up_to_date, timeout=30_000)
    return window
