"""All keys on one page."""

from __future__ import annotations

from typing import Final

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QDialog, QGridLayout, QScrollArea, QVBoxLayout, QWidget

from ..controls import label, solid_button
from ..kinds import KINDS

KEYS: Final = (
    ("Go to a step", "Ctrl+1 to 6; Ctrl+Enter for the next"),
    ("Look around", "arrows; + and −; 0 for the whole"),
    ("Bare ground for a moment", "hold V"),
    ("Next region, next thing", "F6; Tab on the map, Enter takes it in hand"),
    ("Step back", "Esc; nothing is ever lost"),
    ("Draw by keys", "arrows 8 px, Shift 1 px; Space a corner, Backspace back, Enter done"),
    ("Shape", "Tab to a corner, arrows, Delete, Insert"),
    ("Move the whole", "arrows when no corner is chosen; Shift: 1 yard"),
    ("Do not snap", "hold Alt"),
    ("Name, use, note, take away", "F2, [ and ], N, Delete"),
    ("Measure", "M"),
    ("Spots", "Page Up and Down; Space takes or leaves; P puts one"),
    ("Stands", "in Later: Page Up and Down; Space takes one; P puts one"),
    ("Wind", "on the dial: left and right turn it, Shift a little; up and down its speed"),
    ("Date below the map", "left and right a day; Page Up and Down a week; Home today"),
    ("Undo, redo", "Ctrl+Z; Ctrl+Y"),
    ("Stop long work", "Esc twice"),
    ("Text size", "Ctrl with + and −"),
    ("Open a file", "Ctrl+O"),
    ("This page", "F1"),
)


class KeysPage(QDialog):
    """The page of keys."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("All keys")
        self.setObjectName("paper")
        outer = QVBoxLayout(self)
        outer.setContentsMargins(28, 22, 28, 20)
        outer.addWidget(label("All keys on one page", "step"))
        page = QWidget()
        grid = QGridLayout(page)
        grid.setHorizontalSpacing(26)
        grid.setVerticalSpacing(6)
        drawn = [(f"Draw: {one.word}", one.key) for one in KINDS.values() if one.key]
        for row, (deed, key) in enumerate((*KEYS[:5], *drawn, ("Draw: Sign", "S"), *KEYS[5:])):
            grid.addWidget(label(deed, "plain", is_wrapped=False), row, 0, Qt.AlignTop)
            grid.addWidget(label(f"<b>{key}</b>", "plain"), row, 1)
        grid.setColumnStretch(1, 1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(page)
        outer.addWidget(scroll, 1)
        outer.addWidget(solid_button("Close", self.accept), 0, Qt.AlignRight)
        self.resize(640, 620)
