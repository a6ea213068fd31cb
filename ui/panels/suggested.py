"""The quiet line of the marks: suggest food and beds, and what of it lies on the map."""

from __future__ import annotations

from PyQt5.QtWidgets import QVBoxLayout, QWidget

from ..controls import label, link
from ..suggesting import Suggesting, said_shown


class SuggestedLine(QWidget):
    """One line that asks, or says what was suggested and takes it away."""

    def __init__(self, suggesting: Suggesting) -> None:
        super().__init__()
        self._suggesting = suggesting
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 0, 2)
        column.setSpacing(2)
        tip = "Likely fields and beds by crop, cover and slope. You decide which are true."
        self.ask = link("Suggest food and beds", suggesting.ask, tip=tip)
        self.words = label("", "small")
        self.away = link("Take the suggestions away", suggesting.put_away)
        self.back = link("Show the thrown ones again", suggesting.bring_back)
        for one in (self.ask, self.words, self.away, self.back):
            column.addWidget(one)
        suggesting.changed.connect(self.refresh)
        self.refresh()

    @property
    def has_any(self) -> bool:
        """Whether suggestions lie on the map."""
        return bool(self._suggesting.shown)

    def refresh(self) -> None:
        """Show what can be done now."""
        work = self._suggesting
        self.setVisible(work.can_ask)
        self.ask.setVisible(not work.is_open)
        self.ask.setEnabled(not work.is_busy)
        self.words.setText(said_shown(work.shown) if work.is_open else "")
        self.words.setVisible(work.is_open)
        self.away.setVisible(work.is_open)
        self.back.setVisible(work.is_open and work.n_thrown > 0)
