"""What can be done with a suggestion: take it, change it first, or throw it away."""

from __future__ import annotations

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from ..controls import link, plain_button


class SuggestionSlip(QWidget):
    """Three deeds; nothing is used before one is chosen."""

    taken = pyqtSignal()
    change = pyqtSignal()
    thrown = pyqtSignal()

    def __init__(self) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 4, 0, 0)
        column.setSpacing(4)
        self.take = plain_button(
            "Take it", self.taken.emit, tip="It becomes a mark. Undo is there."
        )
        column.addWidget(self.take, 0, Qt.AlignLeft)
        row = QHBoxLayout()
        row.setSpacing(18)
        self.first = link(
            "Change it first", self.change.emit, tip="Drag its corners, then take it."
        )
        self.throw = link(
            "Throw it away", self.thrown.emit, tip="It is not suggested again this evening."
        )
        row.addWidget(self.first)
        row.addWidget(self.throw)
        row.addStretch(1)
        column.addLayout(row)

    def take_focus(self) -> None:
        """Give the keys to the first deed."""
        self.take.setFocus(Qt.TabFocusReason)
