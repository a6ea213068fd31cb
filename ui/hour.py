"""The date and the end of the day that the window speaks of."""

from __future__ import annotations

from datetime import date, datetime

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.daylight import Half


class Hour(QObject):
    """A date, evening or morning, and whether passage is shown in legal light then.

    One is shared by the whole window, ``desk.hour``; ``changed`` tells that any of it is another.
    """

    changed = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._on = datetime.now().astimezone().date()
        self._half = Half.EVENING
        self._is_in_light = False

    @property
    def on(self) -> date:
        """The local date."""
        return self._on

    @property
    def half(self) -> Half:
        """Evening or morning."""
        return self._half

    @property
    def is_in_light(self) -> bool:
        """Whether passage is shown in legal light only."""
        return self._is_in_light

    def set(
        self, *, on: date | None = None, half: Half | None = None, is_in_light: bool | None = None
    ) -> None:
        """Change what is given, and tell once if anything is another."""
        before = (self._on, self._half, self._is_in_light)
        self._on = on or self._on
        self._half = half or self._half
        self._is_in_light = self._is_in_light if is_in_light is None else is_in_light
        if (self._on, self._half, self._is_in_light) != before:
            self.changed.emit()

    @property
    def words(self) -> str:
        """The hour in words: "evening, 3 November"."""
        return f"{self._half.value}, {self._on.day} {self._on:%B}"
