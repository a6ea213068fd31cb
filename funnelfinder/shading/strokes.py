"""The pen's work on a mark: lashes, dots, crosses, dashes, hatching, gaps and crossings.

Geometry in, strokes out, in whatever unit the geometry is in (window pixels, points of paper or
metres). Nothing here knows a colour, a screen or a file.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from funnelfinder.kernels import FloatArray


def lashes(
    outline: BaseGeometry, *, length: float, every: float, who: str = "doe"
) -> list[FloatArray]:
    """Return short strokes from an outline inward, as grass lies pressed round a bed.

    Parameters
    ----------
    outline : Polygon or MultiPolygon
        The bed.
    length, every : float
        Length of a lash and distance between them.
    who : str
        ``doe``: single lashes; ``buck``: in twos; ``either``: long and short by turns.

    Returns
    -------
    list of (2, 2) float64
        From the outline inward.
    """
    strokes = []
    for ring in _outer_rings(outline):
        places = _lash_places(ring.length, every, who)
        for along, share in places:
            foot, inward = _foot_and_normal(ring, along)
            strokes.append(np.array([foot, foot + inward * length * share]))
    return strokes


def _outer_rings(geometry: BaseGeometry) -> list[shapely.LinearRing]:
    """Return the outer rings, counter-clockwise in the geometry's own axes."""
    parts = (part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon")
    return [shapely.LinearRing(shapely.orient_polygons(part).exterior.coords) for part in parts]


def _lash_places(around: float, every: float, who: str) -> list[tuple[float, float]]:
    """Return where lashes stand along a ring, and their length as a share of the longest."""
    period = 1.45 * every if who == "buck" else every
    n = max(int(around / period), 3)
    if who == "either":
        n += n % 2
    step = around / n
    starts = [(i + 0.5) * step for i in range(n)]
    if who == "buck":
        apart = 0.18 * every
        return [(start + side, 1.0) for start in starts for side in (-apart, apart)]
    return [(s, 0.5 if who == "either" and i % 2 else 1.0) for i, s in enumerate(starts)]


def _foot_and_normal(ring: shapely.LinearRing, along: float) -> tuple[FloatArray, FloatArray]:
    """Return the point at a length along a ring and the unit normal to its left (inward)."""
    tiny = 1e-3 * ring.length
    here, before, after = (
        np.array(ring.interpolate(value % ring.length).coords[0])
        for value in (along, along - tiny, along + tiny)
    )
    ahead = after - before
    ahead /= max(math.hypot(*ahead), 1e-12)
    return here, np.array([-ahead[1], ahead[0]])


def dot_rows(area: BaseGeometry, *, across: float, down: float, inset: float) -> FloatArray:
    """Return staggered rows of dots inside an area, as seed lies in drills.

    Parameters
    ----------
    area : Polygon or MultiPolygon
        The field.
    across, down : float
        Distance of dots in a row, and of rows.
    inset : float
        How far dots stay from the edge.

    Returns
    -------
    (n, 2) float64
    """
    inner = area.buffer(-inset)
    if inner.is_empty:
        return np.empty((0, 2))
    west, south, east, north = inner.bounds
    rows = np.arange(math.ceil(south / down), math.floor(north / down) + 1)
    dots = [
        np.column_stack([xs, np.full(len(xs), row * down)])
        for row in rows
        for xs in [_spaced(west, east, across, across / 2 * (int(row) % 2))]
    ]
    points = np.concatenate(dots) if dots else np.empty((0, 2))
    return np.asarray(points[shapely.contains_xy(inner, points[:, 0], points[:, 1])])


def _spaced(low: float, high: float, step: float, shift: float) -> FloatArray:
    """Return whole multiples of a step, shifted, between two values."""
    first, last = math.ceil((low - shift) / step), math.floor((high - shift) / step)
    return np.asarray(np.arange(first, last + 1) * step + shift, dtype=np.float64)


def crosses(line: BaseGeometry, *, size: float, every: float) -> list[FloatArray]:
    """Return small × along a line, two strokes each, turned with the line."""
    strokes = []
    for part in _lines(line):
        n = max(round(part.length / every), 1)
        for i in range(n):
            middle, left = _foot_and_normal_open(part, (i + 0.5) * part.length / n)
            ahead = np.array([left[1], -left[0]])
            for side in (1.0, -1.0):
                arm = (ahead + side * left) * size / 2 / math.sqrt(2)
                strokes.append(np.array([middle - arm, middle + arm]))
    return strokes


def _lines(geometry: BaseGeometry) -> list[shapely.LineString]:
    """Return the lines that a geometry is made of, outlines of polygons included."""
    lines: list[shapely.LineString] = []
    for part in shapely.get_parts(geometry):
        if part.geom_type == "Polygon":
            lines += [shapely.LineString(ring.coords) for ring in (part.exterior, *part.interiors)]
        elif part.geom_type in ("LineString", "LinearRing") and part.length > 0:
            lines.append(shapely.LineString(part.coords))
    return lines


def _foot_and_normal_open(line: shapely.LineString, along: float) -> tuple[FloatArray, FloatArray]:
    """Return the point at a length along a line and the unit normal to its left."""
    tiny = 1e-3 * line.length
    here, before, after = (
        np.array(line.interpolate(min(max(value, 0.0), line.length)).coords[0])
        for value in (along, along - tiny, along + tiny)
    )
    ahead = after - before
    ahead /= max(math.hypot(*ahead), 1e-12)
    return here, np.array([-ahead[1], ahead[0]])


def dashes(line: BaseGeometry, pattern: Sequence[float]) -> list[FloatArray]:
    """Return a line cut into dashes.

    Parameters
    ----------
    line : any geometry
        Lines, or polygons whose outlines are cut.
    pattern : sequence of float
        Lengths drawn and left out by turns; stretched a little so that a whole number fits.

    Returns
    -------
    list of (n, 2) float64

    Examples
    --------
    >>> [dash.tolist() for dash in dashes(shapely.LineString([(0, 0), (4, 0)]), (1, 1))]
    [[[0.0, 0.0], [1.0, 0.0]], [[2.0, 0.0], [3.0, 0.0]]]
    """
    pieces = []
    for part in _lines(line):
        n = max(round(part.length / sum(pattern)), 1)
        stretch = part.length / (n * sum(pattern))
        edges = np.concatenate([[0.0], np.cumsum(np.tile(pattern, n))]) * stretch
        for start, end in zip(edges[::2], edges[1::2], strict=False):
            piece = substring(part, start, end)
            pieces.append(np.asarray(piece.coords, dtype=np.float64)[:, :2])
    return pieces


def hatches(area: BaseGeometry, *, every: float) -> list[FloatArray]:
    """Return lines at 45 degrees across an area, ``every`` apart."""
    if area.is_empty:
        return []
    west, south, east, north = area.bounds
    step = every * math.sqrt(2)
    height = north - south
    starts = _spaced(west - height, east, step, 0.0)
    rays = [shapely.LineString([(x, south), (x + height, north)]) for x in starts]
    cut = shapely.intersection(rays, area)
    return [np.asarray(part.coords) for one in cut for part in _lines(one)]


def opened(line: BaseGeometry, gaps: Sequence[BaseGeometry], half_width: float) -> BaseGeometry:
    """Return a line without the stretches within ``half_width`` of gaps."""
    if not gaps:
        return line
    return line.difference(shapely.union_all([gap.buffer(half_width) for gap in gaps]))


def gap_arcs(
    at: tuple[float, float], ahead_rad: float, *, width: float, height: float
) -> list[FloatArray]:
    """Return the two arcs back to back that stand at the ends of a gap.

    Parameters
    ----------
    at : (x, y)
        The middle of the gap.
    ahead_rad : float
        Direction of the fence, from the x axis towards the y axis [rad].
    width : float
        How wide the opening is drawn.
    height : float
        How far an arc reaches, from tip to tip.
    """
    arcs = []
    turn = np.linspace(-1.0, 1.0, 13)
    for side in (-1.0, 1.0):
        along = side * (width / 2 + 0.28 * height * turn**2)
        arcs.append(_turned(along, turn * height / 2, at, ahead_rad))
    return arcs


def crossing_bars(
    at: tuple[float, float], ahead_rad: float, *, length: float, apart: float
) -> list[FloatArray]:
    """Return two bars side by side across a creek that runs in the direction ``ahead_rad``."""
    ends = np.array([-length / 2, length / 2])
    return [_turned(np.full(2, side * apart / 2), ends, at, ahead_rad) for side in (-1.0, 1.0)]


def _turned(
    along: FloatArray, across: FloatArray, at: tuple[float, float], ahead_rad: float
) -> FloatArray:
    """Return points given along and across a direction, in the plane."""
    cos, sin = math.cos(ahead_rad), math.sin(ahead_rad)
    return np.column_stack([at[0] + along * cos - across * sin, at[1] + along * sin + across * cos])
