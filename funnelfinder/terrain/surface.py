"""Quadratic surfaces fitted to the ground, and how high a place stands among its neighbours."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from scipy import ndimage, signal

from funnelfinder.kernels import AnyArray, BoolArray, FloatArray


class SurfaceForm(IntEnum):
    """The six forms of a fitted quadratic (Wood 1996)."""

    PLANE = 0
    PEAK = 1
    RIDGE = 2
    PASS = 3
    CHANNEL = 4
    PIT = 5


@dataclass(frozen=True, kw_only=True)
class Quadratic:
    """The surface z = a x² + b y² + c x y + d x + e y + f fitted about each cell.

    x runs east and y north from the cell's centre [m]; every part has shape (rows, cols) and is
    NaN where the window leaves the grid or holds a hole.
    """

    a: FloatArray
    b: FloatArray
    c: FloatArray
    d: FloatArray
    e: FloatArray
    f: FloatArray


def fitted_quadratics(heights_m: FloatArray, cell_m: float, radius_m: float) -> Quadratic:
    """Return the least-squares quadratic over a square window about each cell.

    Parameters
    ----------
    heights_m : (rows, cols) float64
        Heights, row 0 in the north [m]; NaN is a hole.
    cell_m : float
        Side of a cell [m].
    radius_m : float
        Half the window's side [m]; at least one cell is taken.

    References
    ----------
    .. [1] J. Wood, "The geomorphological characterisation of digital elevation models", PhD
       thesis, University of Leicester, 1996, chapter 4.
    """
    n = max(round(radius_m / cell_m), 1)
    steps = np.arange(-n, n + 1) * cell_m
    x, y = np.meshgrid(steps, -steps)
    design = np.column_stack(
        [one.ravel() for one in (x * x, y * y, x * y, x, y, np.ones_like(x))],
    )
    weights = np.linalg.pinv(design).reshape(6, *x.shape)
    # About the mean, so that rounding stays far below the curvature that is sought.
    level = float(np.nanmean(heights_m)) if np.isfinite(heights_m).any() else 0.0
    z = np.asarray(heights_m, dtype=np.float64) - level
    is_whole = _is_whole(z, n)
    filled = np.where(np.isfinite(z), z, 0.0)
    parts = [np.where(is_whole, _correlated(filled, w), np.nan) for w in weights]
    a, b, c, d, e, f = parts
    return Quadratic(a=a, b=b, c=c, d=d, e=e, f=f + level)


def _correlated(values: FloatArray, weights: FloatArray) -> FloatArray:
    """Return the sum of values times weights about each cell."""
    return np.asarray(signal.oaconvolve(values, weights[::-1, ::-1], mode="same"))


def _is_whole(values: FloatArray, n: int) -> AnyArray:
    """Return where the window of n cells each way lies on known cells inside the grid."""
    known = np.isfinite(values).astype(np.uint8)
    least = ndimage.minimum_filter(known, size=2 * n + 1, mode="constant", cval=0)
    return np.asarray(least.astype(bool))


def surface_forms(fit: Quadratic, *, level_deg: float, straight_per_m: float) -> AnyArray:
    """Return the `SurfaceForm` of each fitted quadratic.

    Parameters
    ----------
    fit : Quadratic
        The fitted surfaces.
    level_deg : float
        Up to this slope the ground counts as level: peaks, passes and pits are there only.
    straight_per_m : float
        Up to this curvature (second derivative, either sign) the ground counts as straight [1/m].

    Returns
    -------
    (rows, cols) uint8
        `SurfaceForm`; plane where there is no fit.

    References
    ----------
    .. [1] J. Wood, PhD thesis, University of Leicester, 1996, table 5.1 and section 5.2.
    """
    most, least, across = _bends_per_m(fit)
    is_level = np.hypot(fit.d, fit.e) <= math.tan(math.radians(level_deg))
    up, down = straight_per_m, -straight_per_m
    choices = [
        (is_level & (most > up) & (least > up), SurfaceForm.PEAK),
        (is_level & (most > up) & (least < down), SurfaceForm.PASS),
        (is_level & (most > up), SurfaceForm.RIDGE),
        (is_level & (least < down) & (most < down), SurfaceForm.PIT),
        (is_level & (least < down), SurfaceForm.CHANNEL),
        (~is_level & (across > up), SurfaceForm.RIDGE),
        (~is_level & (across < down), SurfaceForm.CHANNEL),
    ]
    return np.select([mask for mask, _ in choices], [form for _, form in choices], 0).astype(
        np.uint8
    )


def _bends_per_m(fit: Quadratic) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the most and least convexity and that across the fall line, convex above 0 [1/m]."""
    middle = -fit.a - fit.b
    spread = np.hypot(fit.a - fit.b, fit.c)
    steep = fit.d**2 + fit.e**2
    bend = fit.b * fit.d**2 + fit.a * fit.e**2 - fit.c * fit.d * fit.e
    across = np.divide(-2.0 * bend, steep, out=np.zeros_like(bend), where=steep > 0)
    return middle + spread, middle - spread, across


def position_index_m(
    heights_m: FloatArray, cell_m: float, *, inner_m: float, outer_m: float
) -> FloatArray:
    """Return how far each cell stands above the mean of a ring about it [m].

    Parameters
    ----------
    heights_m : (rows, cols) float64
        Heights [m]; NaN is a hole.
    cell_m : float
        Side of a cell [m].
    inner_m, outer_m : float
        Radii of the ring, both included [m].

    Returns
    -------
    (rows, cols) float64
        The index; NaN in holes and where the ring leaves the grid.

    References
    ----------
    .. [1] A. Weiss, "Topographic position and landforms analysis", poster, 2001.
    .. [2] J. De Reu et al., Geomorphology 186, 39-49, 2013.
    """
    n = math.floor(outer_m / cell_m + 1e-9)
    steps = np.arange(-n, n + 1) * cell_m
    far = np.hypot(*np.meshgrid(steps, steps))
    ring = ((far >= inner_m - 1e-9) & (far <= outer_m + 1e-9)).astype(float)
    is_known: BoolArray = np.isfinite(heights_m)
    level = float(np.nanmean(heights_m)) if is_known.any() else 0.0
    z = np.where(is_known, heights_m - level, 0.0)
    inside = np.zeros(heights_m.shape, dtype=bool)
    n_rows, n_cols = heights_m.shape
    inside[n : n_rows - n, n : n_cols - n] = True
    weight = _correlated(is_known.astype(float), ring)
    mean = _correlated(z, ring) / np.maximum(weight, 1.0)
    return np.where(is_known & inside & (weight > 0.5), z - mean, np.nan)
