"""Snapping: what a pointer within a few pixels of a corner or line means."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely.geometry.base import BaseGeometry

from .touch import SNAP_PX, Point, Touch


class Snapper:
    """Finds the corner, or else the place on a line, nearest to the pointer.

    Parameters
    ----------
    geometries : iterable of shapely geometry
        What to snap to [m].
    """

    def __init__(self, geometries: Iterable[BaseGeometry] = ()) -> None:
        lines = [line for shape in geometries for line in _lines(shape)]
        self._lines = lines
        self._corners = [
            shapely.Point(x, y) for line in lines for x, y in shapely.get_coordinates(line)
        ]
        self._corner_tree = shapely.STRtree(self._corners) if lines else None
        self._line_tree = shapely.STRtree(self._lines) if lines else None

    def snapped(self, touch: Touch) -> Point | None:
        """Return where the pointer snaps to within 10 px, or None; corners go before lines."""
        if not touch.is_snapping or self._corner_tree is None or self._line_tree is None:
            return None
        here, reach = shapely.Point(touch.at), SNAP_PX * touch.px_m
        found = self._corner_tree.query_nearest(here, max_distance=reach, all_matches=False)
        if len(found):
            corner = self._corners[found[0]]
            return float(corner.x), float(corner.y)
        found = self._line_tree.query_nearest(here, max_distance=reach, all_matches=False)
        if len(found):
            line = self._lines[found[0]]
            place = line.interpolate(line.project(here))
            return float(place.x), float(place.y)
        return None


def _lines(shape: BaseGeometry) -> list[BaseGeometry]:
    """Return the lines and outlines of a shape; points count as their own corner."""
    parts = shapely.get_parts(shape)
    lines: list[BaseGeometry] = []
    for part in parts:
        if part.geom_type == "Polygon":
            lines += [part.exterior, *part.interiors]
        else:
            lines.append(part)
    return [line for line in lines if not line.is_empty]
