"""What a gesture is told of the hand, and what it shows on the map."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, auto
from typing import Final, TypeAlias

Point: TypeAlias = tuple[float, float]

#: How near counts as the same place, and how far a hand may slip in a click [px].
SNAP_PX: Final = 10.0
SLIP_PX: Final = 4.0
#: Half of the area in which a corner can be taken hold of [px].
HOLD_PX: Final = 12.0
#: How far an arrow key moves what is in the hand [px]; with Shift one pixel.
ARROW_PX: Final = 8.0


class Key(Enum):
    """The keys that gestures know."""

    LEFT = auto()
    RIGHT = auto()
    UP = auto()
    DOWN = auto()
    SPACE = auto()
    BACKSPACE = auto()
    DELETE = auto()
    INSERT = auto()
    ENTER = auto()
    ESCAPE = auto()
    TAB = auto()
    BACK_TAB = auto()


ARROWS: Final[dict[Key, Point]] = {
    Key.LEFT: (-1.0, 0.0),
    Key.RIGHT: (1.0, 0.0),
    Key.UP: (0.0, 1.0),
    Key.DOWN: (0.0, -1.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """Where the pointer is.

    ``x_m, y_m`` is the place on the map [m]; ``px_m`` is how many metres a pixel shows;
    ``is_snapping`` is false while Alt is held.
    """

    x_m: float
    y_m: float
    px_m: float
    is_snapping: bool = True

    @property
    def at(self) -> Point:
        """The place as (x_m, y_m)."""
        return self.x_m, self.y_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """What a gesture shows while it lasts, in map metres.

    ``rings`` are lines or outlines (``is_area`` closes them); ``pointer_m`` is the loose end of
    the rubber line; ``snapped_m`` gets a ring; ``crossing_m`` is where a corner was refused;
    ``corners_m`` and ``middles_m`` are handles, ``chosen`` the corner that the keys move;
    ``cross_m`` is where the keyboard points; ``before`` is the outline before a drag.
    """

    rings: tuple[tuple[Point, ...], ...] = ()
    is_area: bool = False
    is_loose: bool = False
    pointer_m: Point | None = None
    snapped_m: Point | None = None
    crossing_m: Point | None = None
    corners_m: tuple[Point, ...] = ()
    middles_m: tuple[Point, ...] = ()
    chosen: int | None = None
    grown_m: Point | None = None
    cross_m: Point | None = None
    before: tuple[tuple[Point, ...], ...] = ()
    words: str = ""


def apart(one: Point, other: Point) -> float:
    """Return the distance between two points [m]."""
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


class Gesture:
    """What a hand does on the map: nothing yet; the others build on this.

    ``press`` returns whether it takes the drag that may follow; ``click`` is a press and release
    at one place. Each returns whether it used what it was told.
    """

    #: What the hand can do now, for the line at the top of the map; ``<b>`` marks the deed.
    hint: str = ""
    #: Whether the hand holds and draws nothing.
    is_idle = True

    @property
    def sketch(self) -> Sketch:
        """What to show now."""
        return Sketch()

    def press(self, touch: Touch) -> bool:
        """Take hold of something, or leave the drag to looking around."""
        return False

    def drag(self, touch: Touch) -> None:
        """Follow the hand while the button is down."""

    def release(self, touch: Touch) -> None:
        """Let go after a drag."""

    def click(self, touch: Touch) -> bool:
        """Use a click."""
        return False

    def double_click(self, touch: Touch) -> bool:
        """Use a double click; the click before it was told already."""
        return False

    def hover(self, touch: Touch) -> None:
        """Follow the pointer while no button is down."""

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Use a key; ``middle`` is the middle of the map, ``is_fine`` means Shift."""
        return False
