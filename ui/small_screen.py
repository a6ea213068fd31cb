"""What a small screen shows: only what is written, at true dots, and which names collide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

WIDE_DOTS, HIGH_DOTS = 240, 320
#: A letter of the screen's face, and how far a name stands over its point [dots].
LETTER_DOTS: Final = (7.2, 12.0)
NAME_UP_DOTS: Final = 14.0
_YARD_M: Final = 0.9144


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One point of the screen: its name, and where it is on the ground [m]."""

    name: str
    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenView:
    """A screen's map: its middle [m] and how far it sees across [m]."""

    x_m: float
    y_m: float
    across_m: float

    def dot(self, x_m: float, y_m: float) -> tuple[float, float]:
        """Return the dot of a place."""
        scale = WIDE_DOTS / self.across_m
        return (
            WIDE_DOTS / 2 + (x_m - self.x_m) * scale,
            HIGH_DOTS / 2 - (y_m - self.y_m) * scale,
        )

    def name_box(self, one: Shown) -> tuple[float, float, float, float]:
        """Return the box of a point's name: left, top, right, bottom [dots]."""
        x, y = self.dot(one.x_m, one.y_m)
        wide = LETTER_DOTS[0] * len(one.name)
        top = y - NAME_UP_DOTS - LETTER_DOTS[1] / 2
        return x - wide / 2, top, x + wide / 2, top + LETTER_DOTS[1]

    def is_on(self, one: Shown) -> bool:
        """Return whether a point is on the screen."""
        x, y = self.dot(one.x_m, one.y_m)
        return 0 <= x < WIDE_DOTS and 0 <= y < HIGH_DOTS


def crowded(points: Sequence[Shown], view: ScreenView) -> tuple[str, ...]:
    """Return the names that collide with another at this distance.

    Examples
    --------
    >>> near = [Shown(name="C1", x_m=0, y_m=0), Shown(name="C2", x_m=10, y_m=0)]
    >>> crowded(near, ScreenView(x_m=0, y_m=0, across_m=1000))
    ('C1', 'C2')
    >>> crowded(near, ScreenView(x_m=0, y_m=0, across_m=100))
    ()
    """
    meeting: set[str] = set()
    for one, other in combinations(points, 2):
        a, b = view.name_box(one), view.name_box(other)
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]:
            meeting |= {one.name, other.name}
    return tuple(one.name for one in points if one.name in meeting)


def parts_at_yd(points: Sequence[Shown], view: ScreenView) -> int | None:
    """Return how many yards across the names part, in steps of 50; None where they never do."""
    across = int(view.across_m / _YARD_M // 50) * 50
    while across >= 50:
        near = ScreenView(x_m=view.x_m, y_m=view.y_m, across_m=across * _YARD_M)
        if not crowded(points, near):
            return across
        across -= 50
    return None
