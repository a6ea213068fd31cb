"""The date and the end of the day, a day at a time."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QKeyEvent
from PyQt5.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from funnelfinder.daylight import Half

from ..controls import Segments, label, link

if TYPE_CHECKING:
    from ..desk import Desk

_WEEK = 7


class HourRow(QWidget):
    """Shows and sets ``desk.hour``: arrows step a day, Page up and Page down a week."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._hour = desk.hour
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        days = QHBoxLayout()
        days.setSpacing(2)
        self.before = link("‹", lambda: self.step(-1), tip="The day before. Page up: a week.")
        self.after = link("›", lambda: self.step(1), tip="The day after. Page down: a week.")
        for button, name in ((self.before, "The day before"), (self.after, "The day after")):
            button.setAccessibleName(name)
            button.setFixedWidth(36)
            button.setStyleSheet("text-align: center;")
        self.day = label("", "head", is_wrapped=False)
        self.day.setAlignment(Qt.AlignCenter)
        days.addWidget(self.before)
        days.addWidget(self.day, 1)
        days.addWidget(self.after)
        column.addLayout(days)
        self.halves = Segments([half.value for half in Half], name="End of the day")
        self.halves.chosen.connect(lambda word: self._hour.set(half=Half(word)))
        column.addWidget(self.halves)
        desk.hour.changed.connect(self.refresh)
        self.refresh()

    def step(self, days: int) -> None:
        """Go some days on."""
        self._hour.set(on=self._hour.on + timedelta(days=days))

    def refresh(self) -> None:
        """Show the hour."""
        on = self._hour.on
        self.day.setText(f"{on:%a} {on.day} {on:%B %Y}")
        self.halves.choose(self._hour.half.value)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step a week."""
        if event.key() in (Qt.Key_PageUp, Qt.Key_PageDown):
            self.step(_WEEK if event.key() == Qt.Key_PageDown else -_WEEK)
        else:
            super().keyPressEvent(event)
