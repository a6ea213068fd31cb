"""Geometry as rings of corners that a hand can move, and back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from .touch import Point, apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """Corners of one geometry.

    ``rings`` holds the corners, without the repeated last one of an area; ``parts`` says to which
    part of the geometry each ring belongs (its first is the outer one); ``shape`` is the
    geometry's type.
    """

    rings: tuple[tuple[Point, ...], ...]
    parts: tuple[int, ...]
    shape: str

    @property
    def is_area(self) -> bool:
        """Whether rings are closed."""
        return self.shape.endswith("Polygon")

    @property
    def least(self) -> int:
        """Fewest corners of a ring."""
        if self.is_area:
            return 3
        return 2 if self.shape.endswith("LineString") else 1

    def with_ring(self, ring: int, corners: Sequence[Point]) -> Outline:
        """Return the outline with one ring changed."""
        rings = [*self.rings]
        rings[ring] = tuple(corners)
        return replace(self, rings=tuple(rings))

    def moved(self, dx_m: float, dy_m: float) -> Outline:
        """Return the outline moved as a whole."""
        return replace(
            self,
            rings=tuple(tuple((x + dx_m, y + dy_m) for x, y in ring) for ring in self.rings),
        )

    def handles(self) -> list[tuple[int, int]]:
        """Return every corner as (ring, place in the ring)."""
        return [(r, i) for r, ring in enumerate(self.rings) for i in range(len(ring))]

    def sides(self) -> list[tuple[int, int]]:
        """Return every side as (ring, place of its first corner)."""
        return [
            (r, i)
            for r, ring in enumerate(self.rings)
            for i in range(len(ring) if self.is_area else len(ring) - 1)
        ]

    def side(self, ring: int, index: int) -> tuple[Point, Point]:
        """Return the two ends of a side."""
        corners = self.rings[ring]
        return corners[index], corners[(index + 1) % len(corners)]


def outline_of(geometry: BaseGeometry) -> Outline:
    """Return the corners of a point, line or polygon, single or several."""
    rings: list[tuple[Point, ...]] = []
    parts: list[int] = []
    for number, part in enumerate(shapely.get_parts(geometry)):
        if part.geom_type == "Polygon":
            for ring in (part.exterior, *part.interiors):
                rings.append(tuple((x, y) for x, y in shapely.get_coordinates(ring)[:-1]))
                parts.append(number)
        else:
            rings.append(tuple((x, y) for x, y in shapely.get_coordinates(part)))
            parts.append(number)
    return Outline(rings=tuple(rings), parts=tuple(parts), shape=geometry.geom_type)


def geometry_of(outline: Outline) -> BaseGeometry:
    """Return the geometry of an outline; it may cross itself."""
    by_part: dict[int, list[tuple[Point, ...]]] = {}
    for ring, part in zip(outline.rings, outline.parts, strict=True):
        by_part.setdefault(part, []).append(ring)
    made: list[BaseGeometry] = []
    for rings in by_part.values():
        if outline.is_area:
            made.append(shapely.Polygon(rings[0], rings[1:]))
        elif outline.least > 1:
            made.append(shapely.LineString(rings[0]))
        else:
            made.append(shapely.Point(rings[0][0]))
    if not outline.shape.startswith("Multi"):
        return made[0]
    whole: Any = {
        "MultiPolygon": shapely.MultiPolygon,
        "MultiLineString": shapely.MultiLineString,
        "MultiPoint": shapely.MultiPoint,
    }[outline.shape]
    gathered: BaseGeometry = whole(made)
    return gathered


def crossing_of(corners: Sequence[Point], *, is_closed: bool) -> Point | None:
    """Return a place where a line through corners crosses or touches itself, or None.

    Examples
    --------
    >>> crossing_of([(0, 0), (2, 2), (2, 0), (0, 2)], is_closed=False)
    (1.0, 1.0)
    """
    ring = [*corners, corners[0]] if is_closed and corners else [*corners]
    sides = [shapely.LineString(pair) for pair in pairwise(ring) if pair[0] != pair[1]]
    for i, one in enumerate(sides):
        for j in range(i + 1, len(sides)):
            meeting = one.intersection(sides[j])
            if meeting.is_empty:
                continue
            is_next = j == i + 1 or (is_closed and i == 0 and j == len(sides) - 1)
            if is_next and meeting.geom_type == "Point":
                continue
            place = meeting.representative_point()
            return float(place.x), float(place.y)
    return None


def nearest_side(outline: Outline, at: Point) -> tuple[float, tuple[int, int], Point] | None:
    """Return the distance [m], the side, and the place on the side nearest to a point."""
    here = shapely.Point(at)
    best: tuple[float, tuple[int, int], Point] | None = None
    for ring, index in outline.sides():
        line = shapely.LineString(outline.side(ring, index))
        place = line.interpolate(line.project(here))
        distance = apart(at, (place.x, place.y))
        if best is None or distance < best[0]:
            best = (distance, (ring, index), (place.x, place.y))
    return best
