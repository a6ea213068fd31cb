"""The cover table on the bench: what a yard through each kind of cover costs a deer."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import (
    QHBoxLayout,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from funnelfinder.errors import FunnelFinderError, InputError
from funnelfinder.land_cover import LEGENDS, CoverClass, CoverTable, shipped_table

from .. import edits
from ..controls import label, link, typed_table

if TYPE_CHECKING:
    from ..desk import Desk

TITLE: Final = "The cover table"
_HEADS: Final = ("Cover", "Cost", "Low", "High", "Rests on")
_FIELDS: Final = {1: "resistance", 2: "low", 3: "high"}


class CoverTablePage(QWidget):
    """An editable table; each typed number is one undoable change."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._is_showing = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 10, 10)
        column.setSpacing(8)
        column.addWidget(
            label(
                "Cost: how many yards of the best cover one yard here is worth to a deer; 1 is "
                "the best. Low and high: how far it may be off; redraws stay between them.",
                "plain",
            )
        )
        self.table = typed_table(TITLE, _HEADS, (212, 58, 54, 54))
        self.table.itemChanged.connect(self._changed)
        column.addWidget(self.table, 1)
        foot = QHBoxLayout()
        self.back = link(
            "Everything back to usual",
            self._reset,
            tip="The shipped table; Undo brings yours back.",
        )
        foot.addWidget(self.back)
        foot.addStretch(1)
        column.addLayout(foot)
        desk.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the table as it is now."""
        one = self._desk.open
        if one is None:
            return
        classes = [known for known in one.place.cover_table.classes if not known.is_hole]
        self._is_showing = True
        self.table.setRowCount(len(classes))
        for row, known in enumerate(classes):
            words = (
                known.name,
                f"{known.resistance:g}",
                f"{known.low:g}",
                f"{known.high:g}",
                known.source,
            )
            for number, text in enumerate(words):
                self._put(row, number, text, known)
        self._is_showing = False
        usual = self._usual()
        self.back.setVisible(usual is not None and usual != one.place.cover_table)

    def _put(self, row: int, number: int, text: str, known: CoverClass) -> None:
        """Put a text into a cell, editable where it is a number or what it rests on."""
        item = self.table.item(row, number)
        if item is None:
            item = QTableWidgetItem()
            self.table.setItem(row, number, item)
        item.setText(text)
        item.setToolTip(text if number in (0, 4) else "Click and type.")
        item.setData(Qt.UserRole, known.code)
        flags = Qt.ItemIsEnabled | Qt.ItemIsSelectable
        item.setFlags(flags | Qt.ItemIsEditable if number else flags)

    def _usual(self) -> CoverTable | None:
        """Return the shipped table of the legend, None for a table of the person's own."""
        one = self._desk.open
        if one is None or one.place.cover_table.legend not in LEGENDS:
            return None
        return shipped_table(one.place.cover_table.legend)

    def _changed(self, item: QTableWidgetItem) -> None:
        """Keep a typed number; a refused one goes back."""
        one = self._desk.open
        if self._is_showing or one is None:
            return
        code = int(item.data(Qt.UserRole))
        try:
            table = _changed_table(one.place.cover_table, code, item.column(), item.text())
        except FunnelFinderError as error:
            self._desk.tell_error(error)
            self.refresh()
            return
        self._desk.do(edits.set_cover_table(table))

    def _reset(self) -> None:
        """Take the shipped table again."""
        usual = self._usual()
        if usual is not None:
            self._desk.do(edits.set_cover_table(usual))


def _changed_table(table: CoverTable, code: int, column: int, text: str) -> CoverTable:
    """Return the table with one cell typed anew; raises `InputError` where it cannot be."""
    known = table.by_code[code]
    if column not in _FIELDS:
        changed = replace(known, source=text.strip() or "the user's table")
    else:
        value = _number(text, known.name)
        if _FIELDS[column] == "resistance":
            return table.with_resistances({code: value})
        is_low = _FIELDS[column] == "low"
        changed = replace(known, low=value) if is_low else replace(known, high=value)
    classes = tuple(changed if one.code == code else one for one in table.classes)
    return replace(table, classes=classes)


def _number(text: str, name: str) -> float:
    """Return a typed number."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError as error:
        raise InputError(
            f"{text.strip()!r} is not a number.",
            where=f"{name} in the cover table",
            remedy="Type a cost from 1 on, such as 2.5.",
        ) from error
