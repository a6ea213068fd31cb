"""How spots are chosen: every setting with its unit, one line each, and the detectors."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from funnelfinder.defaults import Entry, entries, shown_value
from funnelfinder.detectors.registry import load_detectors

from .. import edits
from ..controls import Tick, label, link, rule

if TYPE_CHECKING:
    from ..desk import Desk

#: What most people change comes first; the rest is one line away.
_FIRST = (
    "trips-counted",
    "reach",
    "standoff",
    "n-clusters",
    "per-cluster",
    "clusters-apart",
    "spacing-low",
    "spacing-high",
    "wander",
    "pressure",
    "n-redraws",
)
_PLAIN = {
    "trips-counted": "Chosen by trips",
    "n-clusters": "Number of spots",
    "per-cluster": "Scrapes in a spot",
    "clusters-apart": "Between two spots",
    "spacing-low": "Least spacing of scrapes",
    "spacing-high": "Most spacing of scrapes",
    "n-redraws": "Redraws",
    "n-drawn": "Single trips drawn",
    "pace-m-min": "Pace",
}
_UNITS = {"yd": "yards", "ft": "feet", "ac": "acres", "m": "metres", "deg": "degrees"}


def said_name(entry: Entry) -> str:
    """Return the name of a setting as people say it."""
    bare = entry.name.removesuffix("-min") if entry.about.shown == "min" else entry.name
    return _PLAIN.get(entry.name, bare.replace("-", " ").capitalize())


def said_usual(entry: Entry) -> str:
    """Return a value with its unit in words."""
    text = shown_value(entry.default, entry.about)
    return text.removesuffix(entry.about.shown).strip() if entry.about.shown else text


class SettingRow(QWidget):
    """One setting: name, entry with unit, what it is, and the way back to the usual."""

    def __init__(self, desk: Desk, entry: Entry) -> None:
        super().__init__()
        self._desk, self.entry = desk, entry
        self.setObjectName(f"setting-{entry.name}")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 4)
        column.setSpacing(1)
        head = QHBoxLayout()
        head.addWidget(label(f"<b>{said_name(entry)}</b>", "plain"), 1)
        head.setSpacing(6)
        self.box = self._make_box()
        head.addWidget(self.box)
        unit = _UNITS.get(entry.about.shown, entry.about.shown)
        if unit:
            head.addWidget(label(unit, "small", is_wrapped=False))
        column.addLayout(head)
        column.addWidget(label(entry.about.words, "small"))
        foot = QHBoxLayout()
        foot.addWidget(label(f"Usual: {said_usual(entry)}.", "small", is_wrapped=False))
        foot.addStretch(1)
        tip = f"Rests on: {entry.about.source}."
        self.back = link("Back to usual", self._reset, tip=tip)
        foot.addWidget(self.back)
        column.addLayout(foot)
        self.setToolTip(tip)
        self.show_entry(entry)

    def _make_box(self) -> QWidget:
        """Return a line to type in, or a choice of words."""
        default = self.entry.default
        if isinstance(default, Enum):
            box = QComboBox()
            box.addItems([one.value for one in type(default)])
            box.activated[str].connect(self._typed)
            self._edit: QLineEdit | None = None
            self._combo: QComboBox | None = box
            made: QWidget = box
        else:
            line = QLineEdit()
            line.setAlignment(Qt.AlignRight)
            line.setFixedWidth(82)
            line.editingFinished.connect(lambda: self._typed(line.text()))
            self._edit, self._combo = line, None
            made = line
        made.setAccessibleName(said_name(self.entry))
        return made

    def show_entry(self, entry: Entry) -> None:
        """Show the value as it is now."""
        self.entry = entry
        text = shown_value(entry.value, entry.about)
        if self._edit is not None and not self._edit.hasFocus():
            bare = text.removesuffix(entry.about.shown).strip() if entry.about.shown else text
            self._edit.setText(bare)
        if self._combo is not None:
            self._combo.setCurrentText(text)
        self.back.setVisible(entry.value != entry.default)

    def _typed(self, text: str) -> None:
        """Keep a typed value; the old one comes back where it is refused."""
        now = shown_value(self.entry.value, self.entry.about)
        bare = now.removesuffix(self.entry.about.shown).strip() if self.entry.about.shown else now
        if text.strip() not in ("", now, bare) and not self._desk.do(
            edits.set_setting(self.entry.name, text)
        ):
            text = ""
        if text.strip() == "" and self._edit is not None:
            self._edit.setText(bare)

    def _reset(self) -> None:
        """Go back to the usual."""
        self._desk.do(edits.reset_setting(self.entry.name))


class ChosenPage(QWidget):
    """All settings of spots and trips, detectors, and the way to the cover table."""

    def __init__(self, desk: Desk, open_table: Callable[[], None]) -> None:
        super().__init__()
        self._desk = desk
        self.rows: dict[str, SettingRow] = {}
        self.detectors: dict[str, Tick] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        one = desk.open
        assert one is not None
        known = {entry.name: entry for entry in entries(one.place.settings)}
        for name in _FIRST:
            column.addWidget(self._row(known[name]))
            column.addWidget(rule())
        self._more = QWidget()
        more = QVBoxLayout(self._more)
        more.setContentsMargins(0, 0, 0, 0)
        for name, entry in known.items():
            if name not in _FIRST:
                more.addWidget(self._row(entry))
                more.addWidget(rule())
        self._more.hide()
        self._toggle = link(f"{len(known) - len(_FIRST)} more settings", self._show_more)
        column.addWidget(self._toggle)
        column.addWidget(self._more)
        column.addWidget(label("<b>What is looked for</b>", "plain"))
        self._add_detectors(column)
        column.addWidget(rule())
        tip = "What a yard through each kind of cover costs a deer."
        column.addWidget(link("Open the cover table", open_table, tip=tip))
        column.addWidget(
            link(
                "Everything back to usual",
                lambda: desk.do(edits.reset_settings()),
                tip="Undo brings yours back.",
            )
        )

    def _row(self, entry: Entry) -> SettingRow:
        """Return the row of a setting."""
        row = SettingRow(self._desk, entry)
        self.rows[entry.name] = row
        return row

    def _add_detectors(self, column: QVBoxLayout) -> None:
        """List the detectors, where each comes from, and which could not be loaded."""
        found, notes = load_detectors()
        for detector in found:
            tick = Tick(detector.name.capitalize(), tip=f"Comes from: {detector.source}.")
            tick.clicked.connect(
                lambda is_on, name=detector.name: self._desk.do(
                    edits.set_detector(name, is_on=is_on)
                )
            )
            self.detectors[detector.name] = tick
            column.addWidget(tick)
            column.addWidget(label(f"{detector.words} From: {detector.source}.", "small"))
        for note in notes:
            column.addWidget(label(note, "small"))

    def _show_more(self) -> None:
        """Show the settings that few people change, or hide them."""
        is_open = self._more.isVisibleTo(self)
        self._more.setVisible(not is_open)
        n = len(self.rows) - len(_FIRST)
        self._toggle.setText(f"{n} more settings" if is_open else "Fewer settings")

    def refresh(self) -> None:
        """Show all values as they are now."""
        one = self._desk.open
        if one is None:
            return
        for entry in entries(one.place.settings):
            self.rows[entry.name].show_entry(entry)
        for name, tick in self.detectors.items():
            tick.setChecked(name not in one.place.detectors_off)
