"""Measuring: points clicked one after the other; the last may close on the first."""

from __future__ import annotations

from collections.abc import Callable

from .snapping import Snapper
from .touch import ARROW_PX, ARROWS, SNAP_PX, Gesture, Key, Point, Sketch, Touch, apart


class Measure(Gesture):
    """A line of points to measure along.

    Parameters
    ----------
    told : callable
        Called with the points, the loose end included, and whether they close; returns the words
        to show at the pointer.
    left : callable
        Called when the person puts the rule away.
    snapper : Snapper
        What to snap to.
    """

    is_idle = False

    hint = "<b>Click</b> points to measure between. Click the first again for acres."

    def __init__(
        self,
        *,
        told: Callable[[tuple[Point, ...], bool], str],
        left: Callable[[], None] = lambda: None,
        snapper: Snapper | None = None,
    ) -> None:
        self._told = told
        self._left = left
        self._snapper = snapper or Snapper()
        self._points: list[Point] = []
        self._loose: Point | None = None
        self._snapped: Point | None = None
        self._cross: Point | None = None
        self._is_closed = False

    @property
    def points(self) -> tuple[Point, ...]:
        """The points so far."""
        return tuple(self._points)

    @property
    def is_closed(self) -> bool:
        """Whether the line closes on its first point."""
        return self._is_closed

    @property
    def sketch(self) -> Sketch:
        """The line, its loose end, and the measures at the pointer."""
        loose = None if self._is_closed else self._loose
        line = self.points if loose is None else (*self.points, loose)
        return Sketch(
            rings=(self.points,) if self._points else (),
            is_area=self._is_closed,
            is_loose=not self._is_closed,
            pointer_m=loose,
            snapped_m=self._snapped,
            corners_m=self.points,
            cross_m=self._cross,
            grown_m=self._points[0] if self._closes_at(loose) else None,
            words=self._told(line, self._is_closed) if self._points else "",
        )

    def hover(self, touch: Touch) -> None:
        """Move the loose end."""
        self._cross = None
        self._point_at(touch)

    def click(self, touch: Touch) -> bool:
        """Set a point; after a closed outline start anew."""
        self._point_at(touch)
        self._set()
        return True

    def double_click(self, touch: Touch) -> bool:
        """End the line here."""
        self._loose = None
        self._reach_m = 0.0
        return True

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Move the cross, set a point, take one back, or put the rule away."""
        if key in ARROWS:
            step = (1.0 if is_fine else ARROW_PX) * middle.px_m
            x, y = self._cross or middle.at
            self._cross = (x + ARROWS[key][0] * step, y + ARROWS[key][1] * step)
            self._point_at(Touch(x_m=self._cross[0], y_m=self._cross[1], px_m=middle.px_m))
        elif key is Key.SPACE:
            self._cross = self._cross or middle.at
            self._point_at(Touch(x_m=self._cross[0], y_m=self._cross[1], px_m=middle.px_m))
            self._set()
        elif key is Key.BACKSPACE and self._points:
            self._is_closed = False
            self._points.pop()
        elif key is Key.ESCAPE:
            self._left()
        else:
            return False
        return True

    _reach_m = 0.0

    def _point_at(self, touch: Touch) -> None:
        """Take the pointer's place as the loose end."""
        self._reach_m = SNAP_PX * touch.px_m
        self._snapped = self._snapper.snapped(touch)
        self._loose = self._snapped or touch.at

    def _closes_at(self, place: Point | None) -> bool:
        """Return whether a point here closes the line."""
        return (
            place is not None
            and len(self._points) >= 3
            and apart(place, self._points[0]) <= self._reach_m
        )

    def _set(self) -> None:
        """Set a point at the loose end."""
        if self._loose is None:
            return
        if self._is_closed:
            self._points, self._is_closed = [], False
        if self._closes_at(self._loose):
            self._is_closed = True
        else:
            self._points.append(self._loose)
