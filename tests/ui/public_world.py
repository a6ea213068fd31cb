"""The small public world of the sources, as the window meets it: a table, a cache, a property."""

from __future__ import annotations

import csv
from dataclasses import asdict, replace
from enum import Enum
from pathlib import Path

from PyQt5.QtCore import QPoint, Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QPushButton, QWidget

from funnelfinder.files import property_file
from funnelfinder.files.sources.table import shipped_sources
from funnelfinder.marks import Property
from tests.files.sources.world import World
from ui.main_window import MainWindow
from ui.panels.bringing_card import BringingCard
from ui.stops import Stop


def write_table(world: World, path: Path) -> Path:
    """Write every shipped source with an address on the world's server."""
    rows = [_row(world.source(one.name)) for one in shipped_sources()]
    with path.open("w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, list(rows[0]))
        table.writeheader()
        table.writerows(rows)
    return path


def _row(source: object) -> dict[str, object]:
    """A source as a row of the table."""
    cells = asdict(source)  # type: ignore[call-overload]
    return {name.removesuffix("_deg"): _cell(value) for name, value in cells.items()}


def _cell(value: object) -> object:
    """A value as a cell of the table."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return " ".join(f"{one:g}" for one in value)
    return "" if value is None else value


def fill(world: World, *, has_metre: bool = False) -> None:
    """Put into the world what a property needs."""
    if has_metre:
        world.one_metre()
    world.third()
    world.cover()
    world.pictures()


def bare(world: World, folder: Path, **changes: object) -> Path:
    """Write the world's property, boundary alone."""
    path = folder / "scene.gpkg"
    place: Property = replace(world.place, **changes)  # type: ignore[arg-type]
    property_file.create(path, place)
    return path


def opened_bare(window: MainWindow, qtbot, path: Path) -> MainWindow:
    """Open a property file and wait until it is there."""
    window.opening.open_property(path)
    qtbot.waitUntil(lambda: window.desk.open is not None, timeout=10_000)
    qtbot.waitUntil(lambda: window.desk.work is None, timeout=10_000)
    return window


def click(widget: QWidget) -> None:
    """Press a button by a real click in its middle."""
    assert widget.isVisible()
    assert widget.isEnabled()
    at = QPoint(min(widget.width() // 2, 30), widget.height() // 2)
    QTest.mouseClick(widget, Qt.LeftButton, Qt.NoModifier, at)


def button(parent: QWidget, words: str) -> QPushButton:
    """Return the visible button of these words."""
    found = [one for one in parent.findChildren(QPushButton) if one.text() == words]
    shown = [one for one in found if one.isVisible()]
    assert len(shown) == 1, f"{words}: {len(shown)} of {len(found)} are to be seen"
    return shown[0]


def asked(window: MainWindow, qtbot) -> BringingCard:
    """Press the button of the ground and wait until it says whom it would ask."""
    panel = window.panels[Stop.GROUND]
    if window.desk.open.grids is None:
        click(window.column.button)
    else:
        click(button(panel, "Bring in a picture, crops, or newer grids"))
    qtbot.waitUntil(lambda: panel.bringing.requests is not None, timeout=10_000)
    return panel.card


def ended(window: MainWindow, qtbot) -> None:
    """Wait until nothing is brought in any more and all is kept."""
    bringing = window.panels[Stop.GROUND].bringing
    qtbot.waitUntil(lambda: not bringing.is_busy, timeout=60_000)
    assert window.desk.open.keeper.finish(30.0)
