"""Ways between obstacles: where the cost by way of a cell has its passes.

By way of each cell leads a least-cost route; s is its cost. Where s is high lie obstacles. Taking
cells in order of falling s, islands of dear ground grow and join; the cell that joins two of them
is the cheapest place to walk between the two, and s there is the cost of doing so. This is the
0-dimensional persistent homology of −s (Edelsbrunner, Letscher & Zomorodian, Discrete Comput.
Geom. 28, 511-533, 2002), which by duality gives the routes that cannot be moved into each other.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from funnelfinder.kernels import BoolArray, FloatArray, IntArray


def gates(
    by_way_m: FloatArray, *, limit_m: float, prominence_m: float, is_last: BoolArray
) -> IntArray:
    """Return the cells that lie between two obstacles, cheapest first.

    Parameters
    ----------
    by_way_m : (rows, cols) float64
        Least cost of a route by way of each cell; infinite where none leads [m].
    limit_m : float
        Dearer cells are obstacles; so is all outside the grid [m].
    prominence_m : float
        How much dearer both obstacles must be than the way between them [m].
    is_last : (rows, cols) bool
        Cells that no obstacle takes before all others are taken: the route known already.

    Returns
    -------
    (k,) int64
        Flat indices.
    """
    flat = np.where(is_last, -1.0, by_way_m).ravel()
    inside = np.flatnonzero(flat <= limit_m)
    order = inside[np.argsort(-flat[inside], kind="stable")]
    found = _gates(flat, order, by_way_m.shape[0], by_way_m.shape[1], limit_m, prominence_m)
    return np.asarray(found[np.argsort(flat[found], kind="stable")])


@njit(cache=True, nogil=True)
def _root(parent, cell):  # type: ignore[no-untyped-def]
    """Return the first cell of an island, and shorten the way to it."""
    while parent[cell] != cell:
        parent[cell] = parent[parent[cell]]
        cell = parent[cell]
    return cell


@njit(cache=True, nogil=True)
def _gates(by_way, order, n_rows, n_cols, limit, prominence):  # type: ignore[no-untyped-def]
    """Join islands of dear ground and note the cells that join two high ones."""
    n = n_rows * n_cols
    # The place after the last cell stands for all that lies outside the grid.
    parent = np.full(n + 1, -1, np.int64)
    birth = np.full(n + 1, np.inf)
    parent[n] = n
    for cell in range(n):
        if by_way[cell] > limit:
            parent[cell] = cell
    for cell in range(n):
        if parent[cell] >= 0:
            _join(parent, birth, cell, n_rows, n_cols, np.inf, 0.0)
    found = np.empty(len(order), np.int64)
    n_found = 0
    for cell in order:
        parent[cell] = cell
        birth[cell] = by_way[cell]
        is_gate = _join(parent, birth, cell, n_rows, n_cols, by_way[cell], prominence)
        if is_gate and by_way[cell] >= 0.0:
            found[n_found] = cell
            n_found += 1
    return found[:n_found].copy()


@njit(cache=True, nogil=True)
def _join(parent, birth, cell, n_rows, n_cols, level, prominence):  # type: ignore[no-untyped-def]
    """Join a cell with the islands round it; tell whether two of them were high ones."""
    row, col = cell // n_cols, cell % n_cols
    is_gate = False
    for dr in range(-1, 2):
        for dc in range(-1, 2):
            r, c = row + dr, col + dc
            is_out = r < 0 or r >= n_rows or c < 0 or c >= n_cols
            there = len(parent) - 1 if is_out else r * n_cols + c
            if parent[there] < 0:
                continue
            a, b = _root(parent, cell), _root(parent, there)
            if a == b:
                continue
            if birth[a] < birth[b]:
                a, b = b, a
            is_gate = is_gate or birth[b] - level >= prominence
            parent[b] = a
    return is_gate
