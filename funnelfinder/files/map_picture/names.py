"""Where names and numbers stand so that they hide nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.pens import Box, Face, text_width
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.shading import INK, PAPER

#: Height of capitals as a share of the size, and depth below the base line (both typefaces).
_CAPS, _BELOW = 0.68, 0.22

#: How much worse it is to hide something than to stand farther off (judgement).
_HIDING: Final = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """Words that belong to a shape on the page."""

    words: str
    shape: BaseGeometry
    face: Face = Face.SEMIBOLD
    size: float = 9.0
    may_lie_inside: bool = False


@dataclass(slots=True)
class Taken:
    """What already stands on the map: boxes that nothing may cover, lines better left free."""

    frame: BaseGeometry
    boxes: list[BaseGeometry] = field(default_factory=list)
    lines: list[BaseGeometry] = field(default_factory=list)

    def cost(self, box: Box, *, with_lines: bool = True) -> float:
        """Return how bad it is to put something into a box."""
        shape = shapely.box(*box)
        if not self.frame.contains(shape):
            return math.inf
        hidden = float(shapely.area(shapely.intersection(shape, self.boxes)).sum())
        if not with_lines:
            return _HIDING * hidden
        crossed = float(shapely.length(shapely.intersection(shape, self.lines)).sum())
        return _HIDING * hidden + 0.9 * crossed

    def take(self, box: Box) -> None:
        """Keep a box for what is drawn there."""
        self.boxes.append(shapely.box(*box))

    def take_round(self, at: tuple[float, float], across: float) -> None:
        """Keep a square round a place."""
        half = across / 2
        self.take((at[0] - half, at[1] - half, at[0] + half, at[1] + half))


def place_names_inside(sheet: Sheet, names: list[Name], taken: Taken) -> list[Name]:
    """Write names into their shapes where there is room; return those that are left."""
    left = []
    for name in names:
        box = _inside(name, name.shape.intersection(taken.frame), taken)
        if box is None:
            left.append(name)
        else:
            _write(sheet, name, box, taken)
    return left


def place_names(sheet: Sheet, names: list[Name], taken: Taken) -> None:
    """Write names beside their shapes, each where it hides least, the largest shapes first."""
    for name in sorted(names, key=lambda one: -one.shape.area):
        shape = name.shape.intersection(taken.frame)
        if shape.is_empty:
            continue
        choices = [(taken.cost(box) + far, box) for far, box in _boxes(name, shape)]
        cost, box = min(choices, key=lambda choice: choice[0])
        if not math.isinf(cost):
            _lead(sheet, box, shape)
            _write(sheet, name, box, taken)


def _write(sheet: Sheet, name: Name, box: Box, taken: Taken) -> None:
    """Write a name into a box and keep the box."""
    taken.take(box)
    at = (box[0], box[3] - _BELOW * name.size)
    sheet.words(at, name.words, size=name.size, face=name.face, halo=1.6 * sheet.px)


def _inside(name: Name, shape: BaseGeometry, taken: Taken) -> Box | None:
    """Return a free box within a shape, as near its middle as may be."""
    if not name.may_lie_inside or shape.is_empty:
        return None
    width, height = text_width(name.words, name.face, name.size), (_CAPS + _BELOW) * name.size
    left, top, right, bottom = shape.bounds
    middle = np.array([(left + right) / 2, (top + bottom) / 2])
    places = np.stack(np.meshgrid(np.linspace(left, right, 25), np.linspace(top, bottom, 13)), -1)
    places = places.reshape(-1, 2)
    room = shape.buffer(-2.0)
    for x, y in places[np.argsort(np.hypot(*(places - middle).T))]:
        box = _around(float(x), float(y), width, height)
        if room.contains(shapely.box(*box)) and taken.cost(box) == 0.0:
            return box
    return None


def _boxes(name: Name, shape: BaseGeometry) -> Iterator[tuple[float, Box]]:
    """Yield boxes for a name with a cost for standing far off, the best kinds first."""
    width = text_width(name.words, name.face, name.size)
    height = (_CAPS + _BELOW) * name.size
    left, top, right, bottom = shape.bounds
    x, y = (left + right) / 2, (top + bottom) / 2
    for gap in (3.5, 9.0, 16.0, 26.0, 40.0, 60.0):
        reach_x, reach_y = (right - left) / 2 + gap, (bottom - top) / 2 + gap
        places = [
            (x, y - reach_y - height / 2),
            (x, y + reach_y + height / 2),
            (x + reach_x + width / 2, y),
            (x - reach_x - width / 2, y),
            (x + 0.7 * reach_x + width / 2, y - 0.7 * reach_y - height / 2),
            (x - 0.7 * reach_x - width / 2, y - 0.7 * reach_y - height / 2),
            (x + 0.7 * reach_x + width / 2, y + 0.7 * reach_y + height / 2),
            (x - 0.7 * reach_x - width / 2, y + 0.7 * reach_y + height / 2),
        ]
        for rank, (cx, cy) in enumerate(places):
            yield 0.5 * gap + 0.4 * rank, _around(cx, cy, width, height)


def _around(x: float, y: float, width: float, height: float) -> Box:
    """Return the box of this size round a middle."""
    return x - width / 2, y - height / 2, x + width / 2, y + height / 2


def _lead(sheet: Sheet, box: Box, shape: BaseGeometry) -> None:
    """Draw a fine line from a name that stands far off to its shape."""
    words = shapely.box(*box)
    if words.distance(shape) < 8.0:
        return
    line = np.asarray(shapely.shortest_line(words, shape).coords)
    sheet.pen.lines([line], width=2.6 * sheet.px, colour=PAPER)
    sheet.pen.lines([line], width=1.0 * sheet.px, colour=INK)


def pinned(
    sheet: Sheet, at: tuple[float, float], taken: Taken, *, across_px: float
) -> tuple[float, float]:
    """Return where a sign stands: on its place, or beside it with a line where that is taken."""
    across = across_px * sheet.px
    half = across / 2
    best, best_cost = at, math.inf
    for away in (0.0, 0.8, 1.1, 1.5, 2.0, 2.6):
        for turn in np.radians(np.arange(-60, 300, 30)) if away else (0.0,):
            x = at[0] + away * across * math.cos(turn)
            y = at[1] + away * across * math.sin(turn)
            box = (x - half, y - half, x + half, y + half)
            cost = taken.cost(box, with_lines=away > 0.0) + 0.6 * away * across
            if cost < best_cost:
                best, best_cost = (x, y), cost
    taken.take_round(best, across)
    if best != at:
        _pin(sheet, at, best, taken)
    return best


def _pin(sheet: Sheet, at: tuple[float, float], sign: tuple[float, float], taken: Taken) -> None:
    """Draw a line from a sign that stands beside its place to a dot on the place."""
    sheet.inked([np.array([at, sign])], width_px=1.2, casing_px=1.2)
    sheet.disc(at, 7.0, colour=PAPER)
    sheet.disc(at, 4.6, colour=INK)
    taken.lines.append(shapely.LineString([at, sign]))


def free_place(
    taken: Taken, around: list[tuple[float, float]], *, across: float, nearest: float
) -> tuple[float, float]:
    """Return where a disc beside some places hides least."""
    middle = np.mean(np.array(around), axis=0)
    best, best_cost = (float(middle[0]), float(middle[1])), math.inf
    for step in range(5):
        away = nearest + step * across / 2
        for turn in np.radians(np.arange(-60, 300, 20)):
            at = (float(middle[0] + away * np.cos(turn)), float(middle[1] + away * np.sin(turn)))
            half = across / 2
            box = (at[0] - half, at[1] - half, at[0] + half, at[1] + half)
            cost = taken.cost(box) + 0.6 * step * across
            if cost < best_cost:
                best, best_cost = at, cost
    return best
