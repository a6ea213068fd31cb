"""Drawing a place, a line or an outline by clicking its corners."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum
from typing import Final

from .outline import crossing_of
from .snapping import Snapper
from .touch import ARROW_PX, ARROWS, SNAP_PX, Gesture, Key, Point, Sketch, Touch, apart


class Form(Enum):
    """What is drawn; the value is the fewest corners."""

    PLACE = 1
    LINE = 2
    AREA = 3


CROSSES_ITSELF: Final = "This outline crosses itself here. The last corner was not taken."
_HINTS: Final = {
    Form.PLACE: "<b>Click</b> the place.",
    Form.LINE: "<b>Click</b> along it. <b>Double-click</b> or Enter to finish. "
    "<b>Backspace</b> takes the last corner back.",
    Form.AREA: "<b>Click</b> for the next corner. <b>Double-click</b> or Enter to finish. "
    "<b>Backspace</b> takes the last one back.",
}


class Draw(Gesture):
    """Corners clicked one after the other.

    Parameters
    ----------
    form : Form
        A place, a line or an area.
    done : callable
        Called with the corners once they are finished.
    left : callable
        Called with the corners so far when the person steps back (Escape).
    refused : callable
        Called with words and a place when a corner is not taken.
    snapper : Snapper
        What to snap to.
    corners : sequence of (x_m, y_m)
        Corners drawn earlier, to go on from.
    first_hint : str
        What to say before the first corner.
    """

    is_idle = False

    def __init__(
        self,
        form: Form,
        *,
        done: Callable[[tuple[Point, ...]], None],
        left: Callable[[tuple[Point, ...]], None] = lambda corners: None,
        refused: Callable[[str, Point], None] = lambda words, at: None,
        snapper: Snapper | None = None,
        corners: Sequence[Point] = (),
        first_hint: str = "",
    ) -> None:
        self.form = form
        self._done = done
        self._left = left
        self._refused = refused
        self._snapper = snapper or Snapper()
        self._corners: list[Point] = list(corners)
        self._pointer: Point | None = None
        self._snapped: Point | None = None
        self._crossing: Point | None = None
        self._cross: Point | None = None
        self._is_near_first = False
        self._first_hint = first_hint

    @property
    def corners(self) -> tuple[Point, ...]:
        """The corners so far."""
        return tuple(self._corners)

    @property
    def hint(self) -> str:  # type: ignore[override]
        """What the hand can do now."""
        return self._first_hint if self._first_hint and not self._corners else _HINTS[self.form]

    @property
    def sketch(self) -> Sketch:
        """The corners, the rubber line, and what the pointer snaps to."""
        return Sketch(
            rings=(self.corners,) if self._corners else (),
            is_area=self.form is Form.AREA,
            is_loose=True,
            pointer_m=self._snapped or self._pointer,
            snapped_m=self._snapped,
            crossing_m=self._crossing,
            corners_m=self.corners,
            grown_m=self._corners[0] if self._is_near_first else None,
            cross_m=self._cross,
        )

    def hover(self, touch: Touch) -> None:
        """Move the loose end."""
        self._pointer = touch.at
        self._cross = None
        self._snapped = self._snapper.snapped(touch)
        self._is_near_first = self._closes(touch)

    def click(self, touch: Touch) -> bool:
        """Take a corner, or close the outline on its first."""
        self.hover(touch)
        self._take(self._snapped or touch.at, touch)
        return True

    def double_click(self, touch: Touch) -> bool:
        """Finish; the click before set the last corner."""
        self._finish()
        return True

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Move the cross, take a corner, take one back, finish or step back."""
        if key in ARROWS:
            self._move_cross(key, middle, is_fine)
        elif key is Key.SPACE:
            self._cross = self._cross or middle.at
            at = Touch(x_m=self._cross[0], y_m=self._cross[1], px_m=middle.px_m)
            self._take(self._snapped or at.at, at)
        elif key is Key.BACKSPACE and self._corners:
            self._corners.pop()
            self._crossing = None
        elif key is Key.ENTER:
            self._finish()
        elif key is Key.ESCAPE:
            self._left(self.corners)
        else:
            return False
        return True

    def _move_cross(self, key: Key, middle: Touch, is_fine: bool) -> None:
        """Move the cross by a few pixels, or by one."""
        step = (1.0 if is_fine else ARROW_PX) * middle.px_m
        x, y = self._cross or middle.at
        self._cross = (x + ARROWS[key][0] * step, y + ARROWS[key][1] * step)
        self._pointer = self._cross
        # A fine step must be able to leave the place that a coarse one snapped to.
        at = Touch(
            x_m=self._cross[0], y_m=self._cross[1], px_m=middle.px_m, is_snapping=not is_fine
        )
        self._snapped = self._snapper.snapped(at)
        self._is_near_first = self._closes(at)

    def _closes(self, touch: Touch) -> bool:
        """Return whether a corner here closes the outline."""
        return (
            self.form is Form.AREA
            and len(self._corners) >= self.form.value
            and apart(touch.at, self._corners[0]) <= SNAP_PX * touch.px_m
        )

    def _take(self, place: Point, touch: Touch) -> None:
        """Take a corner unless its line crosses another."""
        if self._closes(touch):
            self._finish()
            return
        if self._corners and apart(place, self._corners[-1]) < touch.px_m:
            return
        crossing = (
            crossing_of([*self._corners, place], is_closed=False)
            if self.form is Form.AREA
            else None
        )
        self._crossing = crossing
        if crossing is not None:
            self._refused(CROSSES_ITSELF, crossing)
            return
        self._corners.append(place)
        if self.form is Form.PLACE:
            self._finish()

    def _finish(self) -> None:
        """Hand over the corners if they are enough and close without a crossing."""
        if len(self._corners) < self.form.value:
            return
        if self.form is Form.AREA:
            self._crossing = crossing_of(self._corners, is_closed=True)
            if self._crossing is not None:
                self._refused(CROSSES_ITSELF, self._crossing)
                return
        corners, self._corners = self.corners, []
        self._pointer = self._snapped = self._cross = None
        self._is_near_first = False
        self._done(corners)
