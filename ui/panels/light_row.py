"""The tick that shows passage in legal light, with the hour under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QVBoxLayout, QWidget

from ..controls import Tick
from .hour_row import HourRow

if TYPE_CHECKING:
    from ..daylight_work import Daylight
    from ..desk import Desk


class LightRow(QWidget):
    """In legal light, or all trips."""

    def __init__(self, desk: Desk, daylight: Daylight) -> None:
        super().__init__()
        self._desk, self._daylight = desk, daylight
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        self.tick = Tick(
            "In legal light only",
            tip="Trips that pass in legal light on a date, as far as times are known: judgement.",
        )
        self.tick.clicked.connect(lambda is_on: desk.hour.set(is_in_light=is_on))
        column.addWidget(self.tick)
        self.hour = HourRow(desk)
        column.addWidget(self.hour)
        desk.hour.changed.connect(self.refresh)
        desk.changed.connect(self.refresh)
        daylight.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show whether it is wanted and can be."""
        is_in_light = self._desk.hour.is_in_light
        self.tick.setChecked(is_in_light)
        self.tick.setEnabled(is_in_light or self._daylight.can_show)
        self.hour.setVisible(is_in_light)
