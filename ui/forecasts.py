"""The wind from a forecast file, hour by hour."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.daylight import Half
from funnelfinder.errors import RecordError
from funnelfinder.files.forecast import Hour, hour_at, read_forecast
from funnelfinder.units import said_clock

from .desk import Desk
from .sits import SitWork
from .wind_set import Swing
from .workers import start_job

#: The air of a morning sit is that of an hour after sunrise, as in the core.
_MORNING = timedelta(hours=1)
#: A week of hours takes about a tenth of this; larger files are outlines [bytes].
_MOST_BYTES = 2_000_000


class Forecasts(QObject):
    """Holds the forecast that was opened and sets the wind by it.

    ``changed`` tells of other words, ``taken`` that a forecast was dropped on the window.
    """

    changed = pyqtSignal()
    taken = pyqtSignal()

    def __init__(self, desk: Desk, sits: SitWork) -> None:
        super().__init__(desk)
        self._desk, self._sits = desk, sits
        self.hours: tuple[Hour, ...] = ()
        self.file_name = ""
        self.words = ""
        self._used: tuple[str, Any] | None = None
        desk.opened.connect(self._forget)
        sits.changed.connect(self._follow)

    def _forget(self) -> None:
        """Forget the forecast of another property."""
        self.hours, self.file_name, self.words, self._used = (), "", "", None

    def open(self, path: Path) -> None:
        """Read a forecast file in a thread."""
        self._path = path
        start_job(
            lambda progress: read_forecast(path), done=self._read, failed=self._desk.tell_error
        )

    def _read(self, hours: tuple[Hour, ...]) -> None:
        """Take the hours that were read."""
        self.hours, self.file_name, self._used = hours, self._path.name, None
        self.words = f"{self.file_name} is read."
        self._follow()

    def _follow(self) -> None:
        """Set the wind by the forecast once for each date and end of the day."""
        trees, half = self._sits.trees, self._desk.hour.half
        if not self.hours or trees is None:
            return
        key = (self.file_name, (trees.day.on, half, id(self.hours)))
        if key == self._used:
            return
        self._used = key
        at = trees.day.sunset if half is Half.EVENING else trees.day.sunrise + _MORNING
        try:
            hour = hour_at(self.hours, at, self.file_name)
        except RecordError as error:
            self.words = f"{error} The wind stays as you set it."
            self.changed.emit()
            return
        said = f": {hour.words}" if hour.words else ""
        self.words = f"From {self.file_name}, the hour of {said_clock(hour.start)}{said}."
        is_all_over = math.isnan(hour.from_deg)
        wind = replace(
            self._sits.wind,
            speed_m_s=hour.speed_m_s,
            sky=hour.sky,
            swing=Swing.ALL_OVER if is_all_over else Swing.STEADY,
        )
        self._sits.set_wind(wind if is_all_over else replace(wind, from_deg=hour.from_deg))
        self.changed.emit()

    def takes(self, paths: Sequence[Path]) -> bool:
        """Return whether files that were dropped are one forecast; it is taken then."""
        if len(paths) != 1 or self._desk.open is None or not _may_be_forecast(paths[0]):
            return False
        try:
            hours = read_forecast(paths[0])
        except RecordError:
            return False
        self._path = paths[0]
        self._read(hours)
        self.taken.emit()
        return True


def _may_be_forecast(path: Path) -> bool:
    """Return whether a file is small enough and named so that it may be a forecast."""
    try:
        return path.suffix.lower() == ".json" and path.stat().st_size <= _MOST_BYTES
    except OSError:
        return False
