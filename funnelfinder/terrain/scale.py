"""Heights at the scale that a feature has: coarser cells, smoothing, and sampling between cells."""

from __future__ import annotations

import numpy as np
from scipy import ndimage

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.kernels.landforms import block_means

#: A Gaussian is cut off here [standard deviations].
_CUT = 3.0


def coarsened(grid: Grid, heights_m: AnyArray, cell_m: float) -> tuple[Grid, FloatArray]:
    """Return heights averaged to cells of about ``cell_m``, never finer than they are.

    Parameters
    ----------
    grid : Grid
        Where the heights lie.
    heights_m : (rows, cols) float
        Heights [m]; NaN is a hole.
    cell_m : float
        Side of cell wanted [m]; the whole multiple of the grid's cell nearest to it is taken.

    Returns
    -------
    Grid, (rows, cols) float64
        The coarser grid, with the same north-west corner, and its heights; NaN where a whole
        cell is a hole.
    """
    n = max(round(cell_m / grid.cell_m), 1)
    means = block_means(np.asarray(heights_m), n)
    rows, cols = means.shape
    coarse = Grid(
        epsg=grid.epsg,
        west_m=grid.west_m,
        north_m=grid.north_m,
        cell_m=grid.cell_m * n,
        n_rows=rows,
        n_cols=cols,
    )
    return coarse, means


def smoothed(heights_m: FloatArray, cell_m: float, sigma_m: float) -> FloatArray:
    """Return heights smoothed by a Gaussian that passes by holes.

    Parameters
    ----------
    heights_m : (rows, cols) float64
        Heights [m]; NaN is a hole and stays one.
    cell_m : float
        Side of a cell [m].
    sigma_m : float
        Standard deviation of the Gaussian [m]; 0 changes nothing.

    Examples
    --------
    >>> smoothed(np.full((3, 3), 7.0), 5.0, 10.0).tolist()[0]
    [7.0, 7.0, 7.0]
    """
    if sigma_m <= 0:
        return np.array(heights_m, dtype=np.float64)
    is_known = np.isfinite(heights_m)
    sigma = sigma_m / cell_m
    if is_known.all():
        return np.asarray(ndimage.gaussian_filter(heights_m, sigma, mode="nearest", truncate=_CUT))
    filled = np.where(is_known, heights_m, 0.0)
    total = ndimage.gaussian_filter(filled, sigma, mode="nearest", truncate=_CUT)
    weight = ndimage.gaussian_filter(is_known.astype(float), sigma, mode="nearest", truncate=_CUT)
    return np.where(is_known, total / np.maximum(weight, 1e-12), np.nan)


def sampled(grid: Grid, values: FloatArray, points_m: FloatArray) -> FloatArray:
    """Return values between cell centres, bilinear; NaN outside and beside holes.

    Parameters
    ----------
    grid : Grid
        Where the values lie.
    values : (rows, cols) float64
        What to sample.
    points_m : (n, 2) float64
        Where, easting first [m].

    Returns
    -------
    (n,) float64
        The values there.
    """
    rows, cols = grid.rows_cols(points_m)
    found = ndimage.map_coordinates(values, [rows, cols], order=1, mode="constant", cval=np.nan)
    return np.asarray(found)
