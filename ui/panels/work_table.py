"""The work table on the bench: what is done at which kind of spot, when, and what it rests on."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import (
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from funnelfinder.errors import FunnelFinderError, InputError
from funnelfinder.season import LIMITS, WorkRule, shipped_rules

from .. import edits
from ..controls import label, link, typed_table

if TYPE_CHECKING:
    from ..desk import Desk

TITLE: Final = "The work table"
_HEADS: Final = ("What", "At", "From", "To", "Apart", "Hours", "Rests on")
_FIELDS: Final = {2: "from_day", 3: "to_day", 4: "every_days", 5: "hours", 6: "source"}
_NUMBERS: Final = (2, 3, 4)


class WorkTablePage(QWidget):
    """An editable table; each typed cell is one undoable change."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk = desk
        self._is_showing = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 10, 10)
        column.setSpacing(8)
        column.addWidget(
            label(
                "From and to are days from the peak of breeding: −21 is three weeks before it. "
                "Apart: the least days between two such visits, 0 for once. Nothing here asks for "
                "more visits than the trade holds wise; if you change that, your bucks decide.",
                "plain",
            )
        )
        self.table = typed_table(TITLE, _HEADS, (138, 84, 50, 42, 52, 92))
        self.table.itemChanged.connect(self._changed)
        column.addWidget(self.table, 1)
        tip = "The shipped table; Undo brings yours back."
        self.back = link("Everything back to usual", self._reset, tip=tip)
        column.addWidget(self.back)
        desk.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the table as it is now."""
        one = self._desk.open
        if one is None:
            return
        rules = one.place.season.rules
        self._is_showing = True
        self.table.setRowCount(len(rules))
        for row, rule in enumerate(rules):
            for number, text in enumerate(_cells(rule)):
                self._put(row, number, text, rule)
        self._is_showing = False
        self.back.setVisible(rules != shipped_rules())

    def _put(self, row: int, number: int, text: str, rule: WorkRule) -> None:
        """Put a text into a cell, editable where it can be another."""
        item = self.table.item(row, number)
        if item is None:
            item = QTableWidgetItem()
            self.table.setItem(row, number, item)
        item.setText(text)
        item.setData(Qt.UserRole, rule.rule)
        item.setToolTip(text if number == len(_HEADS) - 1 else rule.words or rule.rule)
        flags = Qt.ItemIsEnabled | Qt.ItemIsSelectable
        has_hours = rule.action not in LIMITS
        can_edit = number in _FIELDS and (_FIELDS[number] != "hours" or has_hours)
        item.setFlags(flags | Qt.ItemIsEditable if can_edit else flags)

    def _changed(self, item: QTableWidgetItem) -> None:
        """Keep a typed cell; a refused one goes back."""
        one = self._desk.open
        if self._is_showing or one is None:
            return
        try:
            rules = changed_rules(
                one.place.season.rules, item.data(Qt.UserRole), item.column(), item.text()
            )
        except FunnelFinderError as error:
            self._desk.tell_error(error)
            self.refresh()
            return
        self._desk.do(edits.set_work_table(rules))
        self.refresh()

    def _reset(self) -> None:
        """Take the shipped table again."""
        self._desk.do(edits.set_work_table(shipped_rules(), "put the work table back to usual"))


def _cells(rule: WorkRule) -> tuple[str, ...]:
    """Return the texts of a row."""
    return (
        rule.rule,
        ", ".join(rule.at),
        _signed(rule.from_day),
        _signed(rule.to_day),
        str(rule.every_days),
        rule.hours,
        rule.source,
    )


def _signed(days: int) -> str:
    """Return days from the peak with a true minus."""
    return str(days).replace("-", "−")


def changed_rules(
    rules: tuple[WorkRule, ...], name: str, column: int, text: str
) -> tuple[WorkRule, ...]:
    """Return the table with one cell typed anew.

    Raises
    ------
    InputError
        If a number is none.
    SettingError
        If the rule could not be kept so.
    """
    value: object = text.strip()
    if column in _NUMBERS:
        value = _number(text, name)
    elif _FIELDS[column] == "source":
        value = text.strip() or "the user's table"
    change = {_FIELDS[column]: value}
    return tuple(replace(rule, **change) if rule.rule == name else rule for rule in rules)  # type: ignore[arg-type]


def _number(text: str, name: str) -> int:
    """Return a typed number of days."""
    try:
        return int(text.strip().replace("−", "-"))
    except ValueError as error:
        raise InputError(
            f"{text.strip()!r} is not a number of days.",
            where=f"{name} in the work table",
            remedy="Type a whole number, such as −21.",
        ) from error
