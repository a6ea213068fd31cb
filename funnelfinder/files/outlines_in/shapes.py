"""Shapes as people draw and walk them: lines closed to outlines, and where an outline crosses."""

from __future__ import annotations

import re
from typing import Final

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import MarkError
from funnelfinder.files.map_systems import WGS84, said_position, way
from funnelfinder.units import said_area, said_length

#: A walked line is closed if its ends are nearer than this, or than this share of its length
#: (judgement: a GPS is switched on and off at the truck).
NEAR_ENDS_M: Final = 60.0
NEAR_ENDS_SHARE: Final = 0.05
#: Loops where a walked line crosses itself are dropped up to this share of the area (judgement).
_LOOPS_SHARE: Final = 0.05


def closed(lines: BaseGeometry, *, epsg: int, where: str) -> tuple[Polygon, tuple[str, ...]]:
    """Return the outline that a walked line goes round, with notes.

    Parameters
    ----------
    lines : shapely geometry
        The line; parts follow each other, as the segments of a GPS track do [m].
    epsg : int
        Code of its UTM zone, to say where it crosses itself.
    where : str
        What to call it in notes and errors.

    Raises
    ------
    MarkError
        If its ends are far apart, if it encloses nothing, or if it crosses itself widely.
    """
    points = shapely.get_coordinates(lines)
    gap_m = float(np.hypot(*(points[-1] - points[0])))
    notes: tuple[str, ...] = ()
    if gap_m > max(NEAR_ENDS_M, NEAR_ENDS_SHARE * lines.length):
        raise MarkError(
            f"It is an open line: its ends are {said_length(gap_m)} apart.",
            where=where,
            remedy="Close it, or draw it as an area.",
        )
    if gap_m > 0:
        notes = (f"{where}: its ends, {said_length(gap_m)} apart, were joined.",)
    ring = LineString(np.vstack([points, points[:1]])) if gap_m > 0 else LineString(points)
    found = shapely.polygonize([shapely.node(ring)]).geoms
    faces = [face for face in found if isinstance(face, Polygon)]
    if not faces:
        raise MarkError("It encloses nothing.", where=where, remedy="Draw it as an area.")
    largest = max(faces, key=lambda face: face.area)
    rest_m2 = sum(face.area for face in faces) - largest.area
    if rest_m2 > _LOOPS_SHARE * largest.area:
        raise crossing_error(Polygon(ring), epsg=epsg, where=where)
    if rest_m2 > 0:
        notes += (f"{where}: small loops of {said_area(rest_m2)} where it crosses were dropped.",)
    return Polygon(largest.exterior), notes


def check_uncrossed(shape: BaseGeometry, *, epsg: int, where: str) -> None:
    """Raise `MarkError` that says where, if an outline crosses itself."""
    if not shape.is_valid:
        raise crossing_error(shape, epsg=epsg, where=where)


def crossing_error(shape: BaseGeometry, *, epsg: int, where: str) -> MarkError:
    """Return the error for an outline that crosses itself, with the place."""
    reason = shapely.is_valid_reason(shape)
    found = re.search(r"\[(\S+) (\S+)\]", reason)
    place = ""
    if found:
        to_degrees = way(epsg, WGS84)
        degrees = to_degrees.transform(float(found[1]), float(found[2]))
        place = f" near {said_position(*degrees)}"
    return MarkError(
        f"Its outline crosses or touches itself{place} ({reason.split('[')[0].lower()}).",
        where=where,
        remedy="Move the points there, so that no side crosses another.",
    )


def parts_of(shape: BaseGeometry) -> list[BaseGeometry]:
    """Return the plain points, lines and polygons that a geometry is made of."""
    if shape.geom_type == "LinearRing":
        return [LineString(shape.coords)]
    if not hasattr(shape, "geoms"):
        return [shape]
    return [part for one in shape.geoms for part in parts_of(one) if not part.is_empty]
