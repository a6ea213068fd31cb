"""Slope and the fall line after Horn."""

from __future__ import annotations

import numpy as np

from funnelfinder.kernels import AnyArray, FloatArray


def gradient(elevation_m: AnyArray, cell_m: float) -> tuple[FloatArray, FloatArray]:
    """Return the rise eastward and northward after Horn.

    Parameters
    ----------
    elevation_m : (rows, cols) float
        Heights, row 0 in the north [m]; NaN is a hole.
    cell_m : float
        Side of a cell [m].

    Returns
    -------
    (rows, cols) float64, (rows, cols) float64
        dz/dx (east) and dz/dy (north) [1]; NaN at the border and beside holes.

    References
    ----------
    .. [1] B. K. P. Horn, "Hill shading and the reflectance map", Proc. IEEE 69, 14-47, 1981.

    Examples
    --------
    >>> plane = np.array([[104.0] * 3, [102.0] * 3, [100.0] * 3])
    >>> float(gradient(plane, 10.0)[1][1, 1])
    0.2
    """
    z = np.asarray(elevation_m, dtype=np.float64)
    east = np.full(z.shape, np.nan)
    north = np.full(z.shape, np.nan)
    if min(z.shape) < 3:
        return east, north
    row_sum = z[:-2] + 2.0 * z[1:-1] + z[2:]
    col_sum = z[:, :-2] + 2.0 * z[:, 1:-1] + z[:, 2:]
    centre = z[1:-1, 1:-1] * 0.0
    east[1:-1, 1:-1] = (row_sum[:, 2:] - row_sum[:, :-2]) / (8.0 * cell_m) + centre
    north[1:-1, 1:-1] = (col_sum[:-2] - col_sum[2:]) / (8.0 * cell_m) + centre
    return east, north


def slope_deg(elevation_m: AnyArray, cell_m: float) -> FloatArray:
    """Return the slope after Horn [deg], NaN at the border and beside holes.

    Examples
    --------
    >>> plane = np.array([[104.0] * 3, [102.0] * 3, [100.0] * 3])
    >>> float(slope_deg(plane, 10.0)[1, 1].round(6))
    11.309932
    """
    east, north = gradient(elevation_m, cell_m)
    return np.asarray(np.degrees(np.arctan(np.hypot(east, north))))


def aspect_deg(elevation_m: AnyArray, cell_m: float) -> FloatArray:
    """Return the bearing downhill [deg clockwise from north], NaN where it is level.

    Examples
    --------
    >>> plane = np.array([[104.0] * 3, [102.0] * 3, [100.0] * 3])
    >>> float(aspect_deg(plane, 10.0)[1, 1])
    180.0
    """
    east, north = gradient(elevation_m, cell_m)
    bearing = np.degrees(np.arctan2(-east, -north)) % 360.0
    return np.asarray(np.where((east == 0) & (north == 0), np.nan, bearing))
