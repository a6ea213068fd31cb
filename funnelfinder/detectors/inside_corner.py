"""Inside corners: where an opening pokes into the cover, so that a trip in cover bends."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely
from shapely.geometry import LinearRing

from funnelfinder.detectors.cover import cover_of
from funnelfinder.detectors.outlines import STAIR_CELLS, even_points_m, plain_rings, polygons_of
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import Property

#: The outline is followed this far both ways from a corner (geometry; size judgement) [m].
ARM_M: Final = 40.0
#: The angle on the side of the cover is at least this (geometry; size judgement) [deg].
LEAST_DEG: Final = 225.0
#: An arm that bends has no clear side: its end is this share of its length away (judgement) [1].
LEAST_STRAIGHT: Final = 0.9
#: Steps along the outline (judgement) [m].
STEP_M: Final = 4.0
#: The opening covers at least this much, or nobody bends round it (judgement) [m²].
LEAST_OPENING_M2: Final = 4_000.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the inside corners of a ground; fields that were marked are in its cover."""
    del place
    cover = cover_of(ground)
    grid = ground.grid
    cell = max(grid.cell_m, min(ground.cover_cell_m, ARM_M))
    features: list[Feature] = []
    # Openings are outlined, so that every ring has the cover on its outer side.
    for opening in polygons_of(~cover & ~ground.is_water, grid):
        if opening.area < LEAST_OPENING_M2:
            continue
        for ring in plain_rings(opening, STAIR_CELLS * cell):
            corners, angles = _corners(ring)
            is_real = _is_beside(corners, cover, ground) if len(corners) else np.zeros(0, bool)
            features += [
                _feature(corner, angle)
                for corner, angle in zip(corners[is_real], angles[is_real], strict=True)
            ]
    return features


def _corners(ring: LinearRing) -> tuple[FloatArray, FloatArray]:
    """Return the sharpest places of an opening's ring and the angle of cover there [deg]."""
    if ring.length < 4 * ARM_M:
        return np.empty((0, 2)), np.empty(0)
    # Orientation: the opening lies on the left, so the cover's angle is measured on the right.
    points = even_points_m(shapely.orient_polygons(shapely.Polygon(ring)).exterior, STEP_M)
    step = ring.length / len(points)
    n = max(round(ARM_M / step), 2)
    ahead, behind = _arm(points, n), _arm(points, -n)
    angle = np.degrees(
        np.arctan2(behind[:, 1], behind[:, 0]) - np.arctan2(ahead[:, 1], ahead[:, 0])
    )
    inner = angle % 360.0
    cover_deg = 360.0 - inner
    least = LEAST_STRAIGHT * n * step
    is_straight = (_chord(points, n) >= least) & (_chord(points, -n) >= least)
    cover_deg = np.where(is_straight, cover_deg, 0.0)
    # The first of equal places along the ring wins.
    before = np.max([np.roll(cover_deg, k) for k in range(1, n + 1)], axis=0)
    after = np.max([np.roll(cover_deg, -k) for k in range(1, n + 1)], axis=0)
    is_corner = (cover_deg >= LEAST_DEG) & (cover_deg > before) & (cover_deg >= after)
    return points[is_corner], cover_deg[is_corner]


def _arm(points: FloatArray, n: int) -> FloatArray:
    """Return the mean way from each point to those up to n steps along the ring."""
    sign = 1 if n > 0 else -1
    return np.asarray(
        np.mean([np.roll(points, -sign * k, axis=0) - points for k in range(1, abs(n) + 1)], axis=0)
    )


def _chord(points: FloatArray, n: int) -> FloatArray:
    """Return the straight distance to the point n steps along the ring [m]."""
    return np.asarray(np.linalg.norm(np.roll(points, -n, axis=0) - points, axis=1))


def _is_beside(corners: FloatArray, cover: BoolArray, ground: Ground) -> AnyArray:
    """Return which corners have cover on most of their outer side, well inside the grid."""
    west, south, east, north = ground.grid.bounds_m
    x, y = corners[:, 0], corners[:, 1]
    inside = (x > west + ARM_M) & (x < east - ARM_M) & (y > south + ARM_M) & (y < north - ARM_M)
    turns = np.linspace(0.0, 2 * math.pi, 16, endpoint=False)
    ring = ARM_M / 2 * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    rows, cols = ground.grid.nearest_cells((corners[:, None, :] + ring).reshape(-1, 2))
    share = cover[rows, cols].reshape(len(corners), -1).mean(axis=1)
    return np.asarray(inside & (share >= LEAST_DEG / 360.0 - 0.1))


def _feature(corner: FloatArray, angle_deg: float) -> Feature:
    """Return the corner as a feature."""
    return Feature(
        kind="inside corner",
        geometry=shapely.Point(corner),
        sizes={"angle_deg": float(angle_deg)},
        words="The field pokes into the woods; a trip kept in cover bends here.",
    )


INSIDE_CORNER: Final = Detector(
    name="inside corner",
    words="A corner of a field or other opening that pokes into the cover.",
    source="geometry: the cover's angle over arms of 40 m is 225° or more; the size is judgement",
    find=find,
)
