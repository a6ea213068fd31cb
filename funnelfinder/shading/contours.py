"""Contour lines in feet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import ndimage
from skimage import measure

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.terrain import gradient
from funnelfinder.units import FOOT_M

#: Intervals that maps use (common practice, no source) [ft].
_INTERVALS_FT: Final = (10, 20, 40, 100, 200)
#: Maps drawn larger than so many metres a point may have the smallest (judgement).
_CLOSE_M_PER_PT: Final = 2.2
#: Lines on steep slopes stand at least so far apart (judgement) [pt].
_APART_PT: Final = 1.9
#: Which slope counts as steep: its share of the cells that are flatter.
_STEEP_SHARE: Final = 90.0
#: Heights are smoothed over this length, or lidar's roughness makes lines shiver [m].
_SMOOTH_M: Final = 4.0
_EVERY: Final = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class ContourLine:
    """One contour line: its height [ft], whether it is a fifth one, and its points [m]."""

    height_ft: int
    is_fifth: bool
    points_m: FloatArray


def contour_interval_ft(elevation_m: AnyArray, cell_m: float, metres_per_point: float) -> int:
    """Return the height between lines that leaves room between them.

    Parameters
    ----------
    elevation_m : (rows, cols) float
        Heights [m].
    cell_m : float
        Side of a cell [m].
    metres_per_point : float
        Scale of the map [m of ground on 1/72 inch].

    Returns
    -------
    int
        10 feet on maps drawn large, else 20, and more where steep slopes would fill up.

    Examples
    --------
    >>> contour_interval_ft(np.zeros((5, 5)), 10.0, 4.0)
    20
    """
    east, north = gradient(elevation_m, cell_m)
    slopes = np.hypot(east, north)[np.isfinite(east)]
    steep = float(np.percentile(slopes, _STEEP_SHARE)) if slopes.size else 0.0
    least_ft = _APART_PT * metres_per_point * steep / FOOT_M
    fitting = _INTERVALS_FT if metres_per_point < _CLOSE_M_PER_PT else _INTERVALS_FT[1:]
    return next((one for one in fitting if one >= least_ft), fitting[-1])


def contours(
    elevation_m: AnyArray, grid: Grid, *, interval_ft: int, shortest_m: float = 60.0
) -> list[ContourLine]:
    """Return the contour lines of a grid.

    Parameters
    ----------
    elevation_m : (rows, cols) float
        Heights on ``grid`` [m]; lines end at holes (NaN).
    grid : Grid
        The cells.
    interval_ft : int
        Height from line to line [ft].
    shortest_m : float
        Shorter lines are left out: they are roughness, not ground [m].

    Returns
    -------
    list of ContourLine
        From low to high.
    """
    height = np.asarray(elevation_m, dtype=np.float64)
    if min(height.shape) < 2 or not np.isfinite(height).any():
        return []
    smooth_ft = _smoothed(height, _SMOOTH_M / grid.cell_m) / FOOT_M
    first = int(np.ceil(np.nanmin(smooth_ft) / interval_ft))
    last = int(np.floor(np.nanmax(smooth_ft) / interval_ft))
    return [
        ContourLine(height_ft=n * interval_ft, is_fifth=n % _EVERY == 0, points_m=points)
        for n in range(first, last + 1)
        for points in _lines_at(smooth_ft, grid, float(n * interval_ft))
        if _length_m(points) >= shortest_m
    ]


def _smoothed(height: FloatArray, cells: float) -> FloatArray:
    """Return heights blurred over ``cells``, holes left as they are."""
    known = np.isfinite(height)
    if cells < 0.3:
        return height
    total = ndimage.gaussian_filter(np.where(known, height, 0.0), cells, mode="nearest")
    weight = ndimage.gaussian_filter(known.astype(np.float64), cells, mode="nearest")
    return np.asarray(np.where(known, total / np.maximum(weight, 1e-12), np.nan))


def _lines_at(height_ft: FloatArray, grid: Grid, level_ft: float) -> list[FloatArray]:
    """Return the lines of one height [m]."""
    # A level that runs exactly through cells makes lines of no area; a hair beside it does not.
    lines = measure.find_contours(height_ft, level_ft + 1e-6)  # type: ignore[no-untyped-call]
    return [grid.points_m(line[:, 0], line[:, 1]) for line in lines]


def _length_m(points: FloatArray) -> float:
    """Return the length along points [m]."""
    return float(np.hypot(*np.diff(points, axis=0).T).sum())
