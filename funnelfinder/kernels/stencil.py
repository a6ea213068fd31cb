"""Edges of the direction-aware grid: Selling's decomposition of each cell's tensor."""

from __future__ import annotations

import numpy as np
from numba import njit

from funnelfinder.kernels import BoolArray, FloatArray, IntArray


@njit(cache=True, nogil=True)
def _selling(d11, d12, d22, offsets, weights):  # type: ignore[no-untyped-def]
    """Fill three offsets (east, north) and weights for the tensor [[d11, d12], [d12, d22]]."""
    b = np.array([[1, 0], [0, 1], [-1, -1]])
    for _ in range(200):
        is_obtuse = True
        for i in range(3):
            j = (i + 1) % 3
            k = (i + 2) % 3
            dot = b[i, 0] * (d11 * b[j, 0] + d12 * b[j, 1]) + b[i, 1] * (
                d12 * b[j, 0] + d22 * b[j, 1]
            )
            if dot > 1e-14 * (d11 + d22):
                k0, k1 = b[i, 0] - b[j, 0], b[i, 1] - b[j, 1]
                b[i, 0], b[i, 1] = -b[i, 0], -b[i, 1]
                b[k, 0], b[k, 1] = k0, k1
                is_obtuse = False
                break
        if is_obtuse:
            break
    for k in range(3):
        i = (k + 1) % 3
        j = (k + 2) % 3
        dot = b[i, 0] * (d11 * b[j, 0] + d12 * b[j, 1]) + b[i, 1] * (d12 * b[j, 0] + d22 * b[j, 1])
        weights[k] = max(-dot, 0.0)
        east, north = -b[k, 1], b[k, 0]
        if north < 0 or (north == 0 and east < 0):
            east, north = -east, -north
        offsets[k, 0] = east
        offsets[k, 1] = north


@njit(cache=True, nogil=True)
def _is_clear(removed, row, col, d_row, d_col):  # type: ignore[no-untyped-def]
    """Return whether the segment to the neighbour touches no removed cell."""
    half = 0.5 * (abs(d_row) + abs(d_col)) + 1e-9
    for a in range(min(d_row, 0), max(d_row, 0) + 1):
        for b in range(min(d_col, 0), max(d_col, 0) + 1):
            if abs(d_col * a - d_row * b) <= half and removed[row + a, col + b]:
                return False
    return True


@njit(cache=True, nogil=True)
def half_edges(factor, fall_east, fall_north, removed):  # type: ignore[no-untyped-def]
    """Return (from, to, weight) of all edges; each cell gives half of its own weights both ways.

    Parameters
    ----------
    factor, fall_east, fall_north : (rows, cols) float64
        Slope factor e and the unit vector of the fall line; the tensor is I − (1 − e⁻²) g gᵀ.
    removed : (rows, cols) bool
        Cells that no edge may touch.

    Returns
    -------
    (n,) int64, (n,) int64, (n,) float64
        Flat indices with from < to, and weights; an edge may stand several times (sum them).

    References
    ----------
    .. [1] J. Fehrenbach, J.-M. Mirebeau, "Sparse non-negative stencils for anisotropic
       diffusion", J. Math. Imaging Vis. 49, 123-147, 2014.
    """
    n_rows, n_cols = factor.shape
    start = np.empty(6 * n_rows * n_cols, dtype=np.int64)
    end = np.empty(6 * n_rows * n_cols, dtype=np.int64)
    weight = np.empty(6 * n_rows * n_cols, dtype=np.float64)
    offsets = np.empty((3, 2), dtype=np.int64)
    weights = np.empty(3, dtype=np.float64)
    n = 0
    for row in range(n_rows):
        for col in range(n_cols):
            if removed[row, col]:
                continue
            less = 1.0 - 1.0 / (factor[row, col] * factor[row, col])
            east, north = fall_east[row, col], fall_north[row, col]
            _selling(
                1.0 - less * east * east,
                -less * east * north,
                1.0 - less * north * north,
                offsets,
                weights,
            )
            for k in range(3):
                if weights[k] <= 1e-12:
                    continue
                for sign in (-1, 1):
                    d_row, d_col = -sign * offsets[k, 1], sign * offsets[k, 0]
                    r, c = row + d_row, col + d_col
                    if r < 0 or c < 0 or r >= n_rows or c >= n_cols:
                        continue
                    if not _is_clear(removed, row, col, d_row, d_col):
                        continue
                    a, b = row * n_cols + col, r * n_cols + c
                    start[n] = min(a, b)
                    end[n] = max(a, b)
                    weight[n] = 0.5 * weights[k]
                    n += 1
    return start[:n], end[:n], weight[:n]


def edges(
    factor: FloatArray, fall_east: FloatArray, fall_north: FloatArray, removed: BoolArray
) -> tuple[IntArray, IntArray, FloatArray]:
    """Return each edge of the grid once: (from, to, weight), sorted, from < to."""
    start, end, weight = half_edges(factor, fall_east, fall_north, removed)
    keys = start * factor.size + end
    order = np.argsort(keys, kind="stable")
    keys, weight = keys[order], weight[order]
    first = np.flatnonzero(np.concatenate(([True], keys[1:] != keys[:-1]))) if keys.size else order
    total = np.add.reduceat(weight, first) if keys.size else weight
    unique = keys[first]
    return unique // factor.size, unique % factor.size, total
