"""Inside corners: where an opening pokes into the cover, so that a trip in cover bends.

The edge of cover is traced where the cover, smoothed over its own cells, passes one half: the
staircase that cells make of a slanting edge is gone, and no false corner comes in.
"""

from __future__ import annotations

from typing import Final

import numpy as np
import shapely
from scipy import ndimage
from skimage.measure import find_contours

from funnelfinder.detectors.cover import cover_of
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.marks import Property

#: The edge is followed this far both ways from a corner, or as many cells of the cover where
#: those are coarse (geometry; size judgement) [m, cells].
ARM_M: Final = 40.0
ARM_CELLS: Final = 2.0
#: The angle on the side of the cover is at least this (geometry; size judgement) [deg].
LEAST_DEG: Final = 225.0
#: An arm that bends has no clear side: its end is this share of its length away (judgement) [1].
LEAST_STRAIGHT: Final = 0.9
#: Steps along the edge (judgement) [m].
STEP_M: Final = 4.0
#: The cover is smoothed over this share of its own cells, or of the travel cells (judgement) [1].
SIGMA_CELLS: Final = 0.6
#: The opening covers at least this much, or nobody bends round it (judgement) [m²].
LEAST_OPENING_M2: Final = 4_000.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the inside corners of a ground; fields that were marked are in its cover."""
    del place
    cover = cover_of(ground, least_opening_m2=LEAST_OPENING_M2)
    if cover.all() or not cover.any():
        return []
    features: list[Feature] = []
    for edge in _edges(ground, cover):
        corners, angles = _corners(edge, max(ARM_M, ARM_CELLS * ground.cover_cell_m))
        features += [
            _feature(corner, float(angle))
            for corner, angle in zip(corners, angles, strict=True)
            if _is_field(corner, cover, ground)
        ]
    return features


def _edges(ground: Ground, cover: BoolArray) -> list[FloatArray]:
    """Return the edges of cover as even points [m] with the cover on the right hand."""
    grid = ground.grid
    coarse = max(grid.cell_m, ground.cover_cell_m)
    soft = ndimage.gaussian_filter(
        cover.astype(float), SIGMA_CELLS * coarse / grid.cell_m, mode="nearest"
    )
    edges = []
    for traced in find_contours(soft, 0.5):  # type: ignore[no-untyped-call]
        line = shapely.LineString(grid.points_m(traced[:, 0], traced[:, 1]))
        n = round(line.length / STEP_M)
        if n < 2 * ARM_M / STEP_M:
            continue
        at = np.linspace(0.0, line.length, n + 1)[: n if line.is_closed else n + 1]
        points = shapely.get_coordinates(shapely.line_interpolate_point(line, at))
        is_right = _is_cover_right(points, soft, ground)
        edges.append(_closed(points if is_right else points[::-1], is_closed=line.is_closed))
    return edges


def _is_cover_right(points: FloatArray, soft: FloatArray, ground: Ground) -> bool:
    """Return whether there is more cover on the right hand of a line than on the left."""
    way = np.diff(points, axis=0)
    right = np.stack([way[:, 1], -way[:, 0]], axis=1) / STEP_M * ground.grid.cell_m
    middle = (points[1:] + points[:-1]) / 2
    sides = [soft[ground.grid.nearest_cells(middle + sign * right)].mean() for sign in (1, -1)]
    return bool(sides[0] > sides[1])


def _closed(points: FloatArray, *, is_closed: bool) -> FloatArray:
    """Return the points, a ring once and a half round so that every place has both arms."""
    return np.concatenate([points, points[: len(points) // 2]]) if is_closed else points


def _corners(points: FloatArray, arm_m: float) -> tuple[FloatArray, FloatArray]:
    """Return the sharpest places of an edge and the angle of cover there [deg]."""
    step = float(np.linalg.norm(np.diff(points, axis=0), axis=1).mean())
    n = round(arm_m / step)
    at = np.arange(n, len(points) - n)
    if not at.size:
        return np.empty((0, 2)), np.empty(0)
    ahead, behind = _arm(points, at, n), _arm(points, at, -n)
    turn = np.arctan2(behind[:, 1], behind[:, 0]) - np.arctan2(ahead[:, 1], ahead[:, 0])
    cover_deg = 360.0 - np.degrees(turn) % 360.0
    least = LEAST_STRAIGHT * n * step
    chords = [np.linalg.norm(points[at + k] - points[at], axis=1) for k in (n, -n)]
    cover_deg = np.where(np.minimum(*chords) >= least, cover_deg, 0.0)
    # The first of equal places along the edge wins, and each place of a ring counts once.
    around = ndimage.maximum_filter1d(cover_deg, 2 * n + 1, mode="constant")
    is_corner = (cover_deg >= LEAST_DEG) & (cover_deg >= around)
    found = points[at[is_corner]]
    apart = [i for i, xy in enumerate(found) if _is_first(xy, found[:i], arm_m)]
    return found[apart], cover_deg[is_corner][apart]


def _is_first(point: FloatArray, others: FloatArray, apart_m: float) -> bool:
    """Return whether none of the others lies near a point."""
    return not len(others) or bool(np.linalg.norm(others - point, axis=1).min() >= apart_m)


def _arm(points: FloatArray, at: IntArray, n: int) -> FloatArray:
    """Return the mean way from each place to the points up to n steps along the edge."""
    steps = np.sign(n) * np.arange(1, abs(n) + 1)
    return np.asarray((points[at[:, None] + steps] - points[at][:, None, :]).mean(axis=1))


def _is_field(corner: FloatArray, cover: BoolArray, ground: Ground) -> bool:
    """Return whether the opening at a corner is dry land, and the corner well inside the grid."""
    grid = ground.grid
    row, col = (int(one[0]) for one in grid.nearest_cells(corner[None, :]))
    n = round(ARM_M / 2 / grid.cell_m) + 1
    if not (n <= row < grid.n_rows - n and n <= col < grid.n_cols - n):
        return False
    about = np.s_[row - n : row + n + 1, col - n : col + n + 1]
    return bool((~cover[about] & ~ground.is_water[about]).sum() > ground.is_water[about].sum())


def _feature(corner: FloatArray, angle_deg: float) -> Feature:
    """Return the corner as a feature."""
    return Feature(
        kind="inside corner",
        geometry=shapely.Point(corner),
        sizes={"angle_deg": angle_deg},
        words="The field pokes into the woods; a trip kept in cover bends here.",
    )


INSIDE_CORNER: Final = Detector(
    name="inside corner",
    words="A corner of a field or other opening that pokes into the cover.",
    source="geometry: the cover's angle over arms of 40 m is 225° or more; the size is judgement",
    find=find,
)
