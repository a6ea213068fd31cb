"""Forms by lines of sight, passes between tops, and drainage."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from funnelfinder.kernels import AnyArray, FloatArray, IntArray
from funnelfinder.kernels import landforms as kernel


class Form(IntEnum):
    """The ten forms of geomorphons, by the codes in use (0 is a hole)."""

    FLAT = 1
    PEAK = 2
    RIDGE = 3
    SHOULDER = 4
    SPUR = 5
    SLOPE = 6
    HOLLOW = 7
    FOOTSLOPE = 8
    VALLEY = 9
    PIT = 10


def geomorphons(
    heights_m: AnyArray, cell_m: float, *, search_m: float, flat_deg: float
) -> AnyArray:
    """Return the form of each cell by how the ground lies in eight lines of sight.

    Parameters
    ----------
    heights_m : (rows, cols) float
        Heights [m]; NaN is a hole.
    cell_m : float
        Side of a cell [m].
    search_m : float
        Cells nearer than this along a line are looked at [m].
    flat_deg : float
        A line whose steepest sights up and down stay within this angle is level.

    Returns
    -------
    (rows, cols) uint8
        `Form`; 0 in holes.

    References
    ----------
    .. [1] J. Jasiewicz, T. Stepinski, "Geomorphons", Geomorphology 182, 147-156, 2013.
    """
    z = np.asarray(heights_m, dtype=np.float64)
    return np.asarray(kernel.geomorphons(z, cell_m, search_m, math.radians(flat_deg)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """Where two hills first join while the level sinks.

    ``row, col`` is the place; ``depth_m`` how far the lower top rises above it; ``low_top`` and
    ``high_top`` are the rows and columns of the two tops.
    """

    row: int
    col: int
    depth_m: float
    low_top: tuple[int, int]
    high_top: tuple[int, int]


def passes(heights_m: FloatArray, *, least_depth_m: float, least_cells: int = 1) -> list[Pass]:
    """Return the lowest places between tops, the deepest first.

    Parameters
    ----------
    heights_m : (rows, cols) float64
        Heights [m]; NaN is a hole.
    least_depth_m : float
        The lower of the two tops rises at least this far above the pass [m].
    least_cells : int
        The smaller of the two hills has at least this many cells above the pass.

    References
    ----------
    .. [1] H. Edelsbrunner, D. Letscher, A. Zomorodian, "Topological persistence and
       simplification", Discrete & Computational Geometry 28, 511-533, 2002.

    Examples
    --------
    >>> passes(np.array([[5.0, 3.0, 9.0]]), least_depth_m=1.0)[0].depth_m
    2.0
    """
    z = np.ascontiguousarray(heights_m, dtype=np.float64)
    order = np.argsort(-z, axis=None, kind="stable")
    order = order[np.isfinite(z.ravel()[order])].astype(np.int64)
    at, low, high = kernel.joins(z, order, least_depth_m, least_cells)
    n_cols = z.shape[1]
    found = [
        Pass(
            row=int(cell // n_cols),
            col=int(cell % n_cols),
            depth_m=float(z.flat[lower] - z.flat[cell]),
            low_top=(int(lower // n_cols), int(lower % n_cols)),
            high_top=(int(higher // n_cols), int(higher % n_cols)),
        )
        for cell, lower, higher in zip(at, low, high, strict=True)
    ]
    return sorted(found, key=lambda one: -one.depth_m)


def drainage(heights_m: FloatArray, cell_m: float) -> tuple[IntArray, FloatArray]:
    """Return where each cell drains to, and the area that drains through it.

    Parameters
    ----------
    heights_m : (rows, cols) float64
        Heights [m]; NaN is a hole, which drains what reaches it.
    cell_m : float
        Side of a cell [m].

    Returns
    -------
    receiver : (rows, cols) int64
        Flat index of the neighbour that a cell drains to; -1 at outlets and in holes.
    area_m2 : (rows, cols) float64
        Area that drains through a cell, itself included [m²]; 0 in holes.

    References
    ----------
    .. [1] J. F. O'Callaghan, D. M. Mark, Computer Vision, Graphics, and Image Processing 28,
       323-344, 1984 (eight directions).
    .. [2] R. Barnes, C. Lehman, D. Mulla, "Priority-flood", Computers & Geosciences 62,
       117-127, 2014 (depressions).
    """
    z = np.ascontiguousarray(heights_m, dtype=np.float64)
    receiver, n_cells = kernel.drainage(z)
    return np.asarray(receiver), np.asarray(n_cells * cell_m**2, dtype=np.float64)
