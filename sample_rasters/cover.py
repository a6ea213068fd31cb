"""Grow the land cover: woods of several kinds, thickets, fields, roads and wet ground (NLCD)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
import numpy.typing as npt
import shapely
from scipy import ndimage

from .features import branch_line, creek_line
from .landform import Bools, Floats, bent, curve, fractal, nearest
from .places import BRANCH_ROAD, CLEARINGS, HOUSES, LANE, NEIGHBOURS, ROAD, Field
from .plan import Place

Codes = npt.NDArray[np.uint8]

OPEN_YARD, LOW_BUILT, DECIDUOUS, EVERGREEN, MIXED, SHRUB, WET_WOODS = 21, 22, 41, 42, 43, 52, 90
#: Woods this near to a stream on its flood plain are wet [m].
WET_M: Final = 22.0
ROAD_HALF_M: Final = 5.0
YARD_M: Final = 32.0


def outline(corners: Sequence[Place]) -> shapely.Polygon:
    """Return a polygon of the plan on the map [m from the grids' corner]."""
    return shapely.Polygon(bent(np.array(corners, dtype=np.float64)))


def cover_at(heights: Floats, x: Floats, y: Floats, rng: np.random.Generator) -> Codes:
    """Return the NLCD class of each cell of a grid."""
    cell_m = float(x[0, 1] - x[0, 0])
    codes = _woods(heights, rng, cell_m)
    codes[_far_from(creek_line(), x, y) < WET_M] = WET_WOODS
    codes[_far_from(branch_line(), x, y) < WET_M / 2.0] = WET_WOODS
    for field in (*NEIGHBOURS, *CLEARINGS):
        codes[_ragged(field, x, y, rng, cell_m)] = field.code
    for line in (ROAD, LANE, BRANCH_ROAD):
        codes[_far_from(curve(line, 5.0), x, y) <= ROAD_HALF_M] = OPEN_YARD
    for place in HOUSES.values():
        far = _far_from(bent(np.array([place], dtype=np.float64)), x, y)
        codes[far < YARD_M] = OPEN_YARD
        codes[far < YARD_M / 3.0] = LOW_BUILT
    return codes


def _woods(heights: Floats, rng: np.random.Generator, cell_m: float) -> Codes:
    """Return woods: hardwoods, with pines in patches and mixed stands on cool slopes."""
    patches = fractal(heights.shape, rng, longest=500.0 / cell_m)
    patches = ndimage.gaussian_filter(patches, 12.0 / cell_m)
    north = ndimage.gaussian_filter(np.gradient(heights, cell_m, axis=0), 20.0 / cell_m)
    codes = np.full(heights.shape, DECIDUOUS, dtype=np.uint8)
    codes[patches - 3.0 * north > 1.15] = MIXED
    codes[patches - 2.0 * north > 1.75] = EVERGREEN
    return codes


def _far_from(line: Floats, x: Floats, y: Floats) -> Floats:
    """Return the distance to the points of a line, 60 m at the most."""
    return nearest(line, x, y, 60.0)[0]


def _ragged(field: Field, x: Floats, y: Floats, rng: np.random.Generator, cell_m: float) -> Bools:
    """Return the cells of a field, its edge waved as mowers and saplings leave it."""
    wave = ndimage.gaussian_filter(fractal(x.shape, rng, longest=120.0 / cell_m), 6.0 / cell_m)
    inside = shapely.contains_xy(outline(field.corners), x, y)
    depth = ndimage.distance_transform_edt(inside) - ndimage.distance_transform_edt(~inside)
    return np.asarray(depth * cell_m + field.ragged_m * np.clip(wave, -1.5, 1.5) > 0)
