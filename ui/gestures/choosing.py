"""The empty hand: a click takes a thing in hand, Tab walks from one to the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from .touch import Gesture, Key, Point, Sketch, Touch


class Choose(Gesture):
    """Takes things in hand.

    Parameters
    ----------
    find : callable
        Returns the key of the thing under a touch, or an empty text.
    chosen : callable
        Called with the key of the thing that is taken in hand.
    order : callable
        Returns (key, place) of all things in reading order, for Tab.
    hint : str
        What the map says meanwhile.
    """

    is_idle = True

    def __init__(
        self,
        *,
        find: Callable[[Touch], str],
        chosen: Callable[[str], None],
        order: Callable[[], Sequence[tuple[str, Point]]] = lambda: (),
        hint: str = "",
    ) -> None:
        self._find = find
        self._chosen = chosen
        self._order = order
        self.hint = hint
        self._walked = ""

    @property
    def walked_to(self) -> str:
        """The key of the thing that Tab came to."""
        return self._walked

    @property
    def sketch(self) -> Sketch:
        """A ring round the thing that Tab came to."""
        at = dict(self._order()).get(self._walked)
        return Sketch(snapped_m=at)

    def click(self, touch: Touch) -> bool:
        """Take what is there in hand."""
        key = self._find(touch)
        if key:
            self._chosen(key)
        return bool(key)

    def key(self, key: Key, middle: Touch, *, is_fine: bool = False) -> bool:
        """Walk on, or take what was come to."""
        keys = [one for one, _ in self._order()]
        if key in (Key.TAB, Key.BACK_TAB) and keys:
            step = 1 if key is Key.TAB else -1
            here = keys.index(self._walked) if self._walked in keys else (-1 if step > 0 else 0)
            self._walked = keys[(here + step) % len(keys)]
            return True
        if key is Key.ENTER and self._walked in keys:
            walked, self._walked = self._walked, ""
            self._chosen(walked)
            return True
        if key is Key.ESCAPE and self._walked:
            self._walked = ""
            return True
        return False
