"""Necks: where cover narrows between openings and widens again on both sides."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely
from scipy import ndimage
from shapely.geometry import LinearRing
from skimage.morphology import medial_axis

from funnelfinder.detectors.cover import cover_of
from funnelfinder.detectors.outlines import STAIR_CELLS, plain_rings, polygons_of
from funnelfinder.features import Detector, Feature
from funnelfinder.grid import Grid
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.kernels.necks import narrows
from funnelfinder.marks import MarkKind, Property
from funnelfinder.units import said_length, yards

#: At its narrowest the cover is at most this wide (common practice, no source) [m].
MOST_WIDTH_M: Final = 120.0
#: It is at most this share as wide as on both sides (common practice, no source) [1].
MOST_SHARE: Final = 0.5
#: The sides are looked at within this distance along the middle of the cover, counted from where
#: it is clearly wider than at its narrowest (common practice, no source; a strip of even width
#: is one neck, judgement) [m, 1].
SIDE_M: Final = 100.0
EVEN: Final = 1.3
#: The longest strip that counts as one neck (judgement) [m].
LONGEST_M: Final = 400.0
#: The way round the smaller opening, or round the cover beyond the neck, is at least this long;
#: else a trip walks round it (judgement) [m].
LEAST_ROUND_M: Final = 250.0
#: Necks nearer to each other than this are one (judgement) [m].
APART_M: Final = 80.0
#: Steps of those looks (judgement) [cells].
RAY_SHARE: Final = 0.1
#: Ways in which the other side is looked for, about straight across (judgement) [rad].
TURNS_RAD: Final = np.radians(np.arange(-60.0, 61.0, 10.0))
#: An opening is named if a mark lies within this distance of the neck's edge (judgement) [m].
NAMED_M: Final = 15.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the necks of cover of a ground; openings are called as the place's marks are."""
    cover = cover_of(ground)
    if cover.all() or not cover.any():
        return []
    cell = ground.grid.cell_m
    # Beyond the grid the cover goes on as it is at the rim.
    axis = medial_axis(cover, rng=np.random.default_rng(0))  # type: ignore[no-untyped-call]
    to_open, nearest = ndimage.distance_transform_edt(cover, sampling=cell, return_indices=True)
    width = np.where(axis, 2.0 * to_open - cell, 0.0)
    narrowest, wider = narrows(
        width, cell, MOST_WIDTH_M, 1.0 / MOST_SHARE, SIDE_M, EVEN, LONGEST_M, APART_M
    )
    rows, cols = np.divmod(narrowest, cover.shape[1])
    centres = ground.grid.points_m(rows.astype(float), cols.astype(float))
    edges = ground.grid.points_m(*(one[rows, cols].astype(float) for one in nearest))
    stray = STAIR_CELLS * min(max(cell, ground.cover_cell_m), SIDE_M / 2)
    rings = [ring for one in polygons_of(~cover, ground.grid) for ring in plain_rings(one, stray)]
    features = []
    for centre, edge, wide_m in zip(centres, edges, wider, strict=True):
        line = _across(ground.grid, cover, centre, edge)
        if line is not None and _way_round_m(rings, line) >= LEAST_ROUND_M:
            features.append(_feature(place, line, float(wide_m)))
    return features


def _way_round_m(rings: list[LinearRing], line: shapely.LineString) -> float:
    """Return how long it is along the outlines from one end of a neck to the other [m]."""
    ends = [shapely.Point(xy) for xy in line.coords]
    near = [min(rings, key=ring_end.distance) for ring_end in ends]
    if near[0] is not near[1]:
        return min(ring.length for ring in near) / 2
    along = abs(near[0].project(ends[0]) - near[0].project(ends[1]))
    return min(along, near[0].length - along)


def _across(
    grid: Grid, cover: BoolArray, centre_m: FloatArray, edge_m: FloatArray
) -> shapely.LineString | None:
    """Return the line across a neck, from the nearest opening to the one on the other side.

    Nothing where the grid ends first.
    """
    steps = np.arange(0.0, MOST_WIDTH_M + 3 * grid.cell_m, RAY_SHARE * grid.cell_m)
    way = centre_m - edge_m
    start = math.atan2(way[1], way[0])
    far = [_first_open_m(grid, cover, centre_m, start + turn, steps) for turn in TURNS_RAD]
    reached = [one for one in far if one is not None]
    if not reached:
        return None
    nearest = min(reached, key=lambda one: float(np.linalg.norm(one - centre_m)))
    inward = way / max(float(np.linalg.norm(way)), 1e-9)
    return shapely.LineString([edge_m + inward * grid.cell_m / 2, nearest])


def _first_open_m(
    grid: Grid, cover: BoolArray, centre_m: FloatArray, way_rad: float, steps_m: FloatArray
) -> FloatArray | None:
    """Return the first point without cover on a ray, or nothing where the grid ends first."""
    points = centre_m + steps_m[:, None] * np.array([math.cos(way_rad), math.sin(way_rad)])
    inside = shapely.contains_xy(shapely.box(*grid.bounds_m), points)
    rows, cols = grid.nearest_cells(points)
    is_open = np.flatnonzero(~cover[rows, cols] | ~inside)
    if not is_open.size or not inside[is_open[0]]:
        return None
    return np.asarray(points[is_open[0]])


def _feature(place: Property, line: shapely.LineString, wide_m: float) -> Feature:
    """Return the neck as a line across."""
    near, far = (shapely.Point(xy) for xy in line.coords)
    return Feature(
        kind="neck",
        geometry=line,
        sizes={"width_m": line.length, "wide_m": wide_m},
        words=f"Cover narrows from {yards(wide_m):.0f} to {said_length(line.length)} "
        f"between {_between(place, near, far)}.",
    )


def _between(place: Property, near: shapely.Point, far: shapely.Point) -> str:
    """Return the names of the two openings."""
    names = [_name(place, point) for point in (near, far)]
    if names[0] == names[1]:
        return "two openings" if names[0] == "the open" else f"two sides of {names[0]}"
    return " and ".join(sorted(names, key=lambda one: one == "the open"))


def _name(place: Property, point: shapely.Point) -> str:
    """Return what the opening at a point is called."""
    for mark in place.of_kind(MarkKind.FOOD, MarkKind.WATER, MarkKind.COVER):
        if mark.name and mark.geometry.distance(point) <= NAMED_M:
            return mark.name
    return "the open"


NECK: Final = Detector(
    name="neck",
    words="A place where cover between openings is at most half as wide as on both sides.",
    source="medial axis, Blum 1967; sizes are common practice, no source",
    find=find,
)
