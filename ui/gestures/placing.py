"""Putting a spot where one clicks: a hollow disc rides on the pointer with its share."""

from __future__ import annotations

from collections.abc import Callable

from .touch import ARROW_PX, ARROWS, Gesture, Key, Point, Sketch, Touch


class Place(Gesture):
    """Puts one thing on the map.

    Parameters
    ----------
    done : callable
        Called with the place of a click.
    pointed : callable
        Called with each place that the hand points at, None when it no longer does.
    left : callable
        Called when the person wants no more (Escape).
    cross_m : (x_m, y_m), optional
        Where the keyboard begins to point; without it the pointer does.
    hint : str
        What the map says meanwhile.
    """

    is_idle = False

    def __init__(
        self,
        *,
        done: Callable[[Point], None],
        pointed: Callable[[Point | None], None],
        left: Callable[[], None],
        cross_m: Point | None = None,
        hint: str = "",
    ) -> None:
        self._done, self._pointed, self._left = done, pointed, left
        self._cross = cross_m
        self.at_m: Point | None = cross_m
        self.hint = hint
        if cross_m is not None:
            pointed(cross_m)

    @property
    def sketch(self) -> Sketch:
        """The cross of the keyboard."""
        return Sketch(cross_m=self._cross)

    def hover(self, touch: Touch) -> None:
        """Follow the pointer."""
        self._cross = None
        self.at_m = touch.at
        self._pointed(touch.at)

    def click(self, touch: Touch) -> bool:
        """Put it here."""
        self._done(touch.at)
        return True

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Move the cross by arrows, put it with Space or Enter, leave with Escape."""
        if key is Key.ESCAPE:
            self._pointed(None)
            self._left()
            return True
        if key in (Key.SPACE, Key.ENTER) and self.at_m is not None:
            self._done(self.at_m)
            return True
        if key in ARROWS:
            east, north = ARROWS[key]
            x, y = self._cross or self.at_m or middle.at
            step = (1.0 if is_fine else ARROW_PX) * middle.px_m
            self._cross = self.at_m = (x + east * step, y + north * step)
            self._pointed(self.at_m)
            return True
        return False
