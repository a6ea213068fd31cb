"""Where names and numbers stand so that they hide nothing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.files.map_picture.pens import Box, Face, text_width
from funnelfinder.files.map_picture.sheet import Sheet
from funnelfinder.shading import INK, PAPER

#: Height of capitals as a share of the size, and depth below the base line (both typefaces).
_CAPS, _BELOW = 0.68, 0.22


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

    def cost(self, box: Box) -> float:
        """Return how bad it is to put something into a box."""
        shape = shapely.box(*box)
        if not self.frame.contains(shape):
            return math.inf
        hidden = float(shapely.area(shapely.intersection(shape, self.boxes)).sum())
        crossed = float(shapely.length(shapely.intersection(shape, self.lines)).sum())
        return hidden + 0.9 * crossed

    def take(self, box: Box) -> None:
        """Keep a box for what is drawn there."""
        self.boxes.append(shapely.box(*box))

    def take_round(self, at: tuple[float, float], across: float) -> None:
        """Keep a square round a place."""
        half = across / 2
        self.take((at[0] - half, at[1] - half, at[0] + half, at[1] + half))


def place_names(sheet: Sheet, names: list[Name], taken: Taken) -> None:
    """Write names beside their shapes, each where it hides least, the largest shapes first."""
    for name in sorted(names, key=lambda one: -one.shape.area):
        shape = name.shape.intersection(taken.frame)
        if shape.is_empty:
            continue
        choices = [(taken.cost(box) + far, box) for far, box in _boxes(name, shape)]
        cost, box = min(choices, key=lambda choice: choice[0])
        if math.isinf(cost):
            continue
        taken.take(box)
        _lead(sheet, box, shape)
        at = (box[0], box[3] - _BELOW * name.size)
        sheet.words(at, name.words, size=name.size, face=name.face, halo=1.6 * sheet.px)


def _boxes(name: Name, shape: BaseGeometry) -> Iterator[tuple[float, Box]]:
    """Yield boxes for a name with a cost for standing far off, the best kinds first."""
    width = text_width(name.words, name.face, name.size)
    height = (_CAPS + _BELOW) * name.size
    if name.may_lie_inside:
        middle = shape.representative_point()
        box = _around(middle.x, middle.y, width, height)
        if shape.buffer(-1.0).contains(shapely.box(*box)):
            yield -2.0, box
    left, top, right, bottom = shape.bounds
    x, y = (left + right) / 2, (top + bottom) / 2
    for gap in (3.5, 9.0, 16.0, 26.0, 40.0):
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
