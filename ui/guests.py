"""Things that lie on the map beside the marks and can be chosen like them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from .gestures import Point, Touch


@dataclass(frozen=True, kw_only=True)
class Guests:
    """Things on the map that are no marks: said, found, taken (true if theirs), and walked to."""

    said: Callable[[], Sequence[str]]
    find: Callable[[Touch], str] = lambda touch: ""
    take: Callable[[str], bool] = lambda key: False
    order: Callable[[], Sequence[tuple[str, Point]]] = lambda: ()
