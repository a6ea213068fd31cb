"""The hand: tells a click from a drag, and who gets which."""

from __future__ import annotations

from enum import Enum, auto

from .looking import LookAround
from .touch import SLIP_PX, Gesture, Point, Touch, apart


class _State(Enum):
    """What the button is doing."""

    UP = auto()
    DOWN = auto()
    PULLING = auto()
    HOLDING = auto()
    SPENT = auto()


class Hand:
    """Turns presses, moves and releases [px] into clicks and drags of a gesture, or looking around.

    A press that the gesture does not take pulls the map; a press and release within a few pixels
    is a click. The press and release that make up a double click are told once.

    Parameters
    ----------
    look : LookAround
        What pulls the map.
    gesture : Gesture
        What the hand does besides.
    """

    def __init__(self, look: LookAround, gesture: Gesture) -> None:
        self.look = look
        self.gesture = gesture
        self._state = _State.UP
        self._start: Point = (0.0, 0.0)
        self._is_taken = False

    @property
    def is_busy(self) -> bool:
        """Whether a button is down."""
        return self._state is not _State.UP

    @property
    def is_pulling(self) -> bool:
        """Whether the map moves with the hand."""
        return self._state is _State.PULLING

    def touch(self, px: float, py: float, *, is_snapping: bool = True) -> Touch:
        """Return the place on the map under a pixel."""
        x, y = self.look.outlook.to_map(px, py)
        return Touch(x_m=x, y_m=y, px_m=self.look.outlook.px_m, is_snapping=is_snapping)

    def middle(self) -> Touch:
        """Return the middle of the map."""
        return self.touch(self.look.outlook.width_px / 2, self.look.outlook.height_px / 2)

    def press(self, px: float, py: float, *, is_snapping: bool = True) -> None:
        """Tell that the button went down."""
        self._start = (px, py)
        self._is_taken = self.gesture.press(self.touch(px, py, is_snapping=is_snapping))
        self._state = _State.DOWN

    def move(self, px: float, py: float, *, is_snapping: bool = True) -> None:
        """Tell where the pointer is."""
        if self._state is _State.DOWN and apart((px, py), self._start) > SLIP_PX:
            self._state = _State.HOLDING if self._is_taken else _State.PULLING
            if not self._is_taken:
                self.look.press(*self._start)
        if self._state is _State.PULLING:
            self.look.move(px, py)
        elif self._state is _State.HOLDING:
            self.gesture.drag(self.touch(px, py, is_snapping=is_snapping))
        elif self._state is _State.UP:
            self.gesture.hover(self.touch(px, py, is_snapping=is_snapping))

    def release(self, px: float, py: float, *, is_snapping: bool = True) -> None:
        """Tell that the button came up."""
        state, self._state = self._state, _State.UP
        touch = self.touch(px, py, is_snapping=is_snapping)
        if state is _State.PULLING:
            self.look.release()
        elif state is _State.HOLDING:
            self.gesture.release(touch)
        elif state is _State.DOWN:
            self.gesture.click(touch)

    def double_click(self, px: float, py: float, *, is_snapping: bool = True) -> None:
        """Tell the second press of a double click."""
        self._state = _State.SPENT
        self.gesture.double_click(self.touch(px, py, is_snapping=is_snapping))
