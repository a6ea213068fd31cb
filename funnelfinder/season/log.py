"""What was done where and when: visits of a person and sightings of deer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import Enum

from funnelfinder.errors import RecordError


class Done(Enum):
    """What a visit was for or found; the value is the word in the log."""

    OPENED = "opened"
    FRESHENED = "freshened"
    CAMERA_HUNG = "camera hung"
    CAMERA_CHECKED = "camera checked"
    CAMERA_MOVED = "camera moved"
    STAND_HUNG = "stand hung"
    SAT = "sat"
    SEEN = "seen"
    TAKEN_OVER = "taken over"
    DEAD = "dead"
    MOVED = "moved"


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """A person at a spot: the day, what was done, where [m], and a note."""

    on: str
    done: Done
    x_m: float
    y_m: float
    spot: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        read_day(self.on)
        if not (math.isfinite(self.x_m) and math.isfinite(self.y_m)):
            raise RecordError("A visit has no place.", where=f"visit of {self.on}")

    @property
    def day(self) -> date:
        """The day of the visit."""
        return date.fromisoformat(self.on)


def read_day(text: str) -> date:
    """Return the day that a text like ``2026-10-03`` names.

    Raises
    ------
    RecordError
        If it is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise RecordError(
            f"{text!r} is no date.", where="log", remedy="Write it like 2026-10-03."
        ) from error
