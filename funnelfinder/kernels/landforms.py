"""Shapes of the ground: forms by lines of sight, passes between tops, and where water gathers."""

from __future__ import annotations

import heapq
import math

import numpy as np
from numba import njit

from funnelfinder.kernels import AnyArray, FloatArray, IntArray

#: Rows and columns of the eight neighbours, every second one straight.
ROW_STEPS = np.array([-1, -1, 0, 1, 1, 1, 0, -1])
COL_STEPS = np.array([0, 1, 1, 1, 0, -1, -1, -1])

#: Form by number of lower (row) and higher (column) directions (Jasiewicz & Stepinski 2013).
FORM_TABLE = np.array(
    [
        [1, 1, 1, 8, 8, 9, 9, 9, 10],
        [1, 1, 8, 8, 8, 9, 9, 9, 0],
        [1, 4, 6, 6, 7, 7, 9, 0, 0],
        [4, 4, 6, 6, 6, 7, 0, 0, 0],
        [4, 4, 5, 6, 6, 0, 0, 0, 0],
        [3, 3, 5, 5, 0, 0, 0, 0, 0],
        [3, 3, 3, 0, 0, 0, 0, 0, 0],
        [3, 3, 0, 0, 0, 0, 0, 0, 0],
        [2, 0, 0, 0, 0, 0, 0, 0, 0],
    ],
    dtype=np.uint8,
)


@njit(cache=True, nogil=True)
def block_means(z: AnyArray, n: int) -> FloatArray:
    """Return means over n × n blocks, the last ones smaller; NaN where a block is all NaN."""
    rows = (z.shape[0] + n - 1) // n
    cols = (z.shape[1] + n - 1) // n
    means = np.empty((rows, cols))
    for i in range(rows):
        for j in range(cols):
            total, count = 0.0, 0
            for r in range(i * n, min((i + 1) * n, z.shape[0])):
                for c in range(j * n, min((j + 1) * n, z.shape[1])):
                    if not np.isnan(z[r, c]):
                        total += z[r, c]
                        count += 1
            means[i, j] = total / count if count else np.nan
    return means


@njit(cache=True, nogil=True)
def geomorphons(z: AnyArray, cell_m: float, search_m: float, flat_rad: float) -> AnyArray:
    """Return the form of each cell, 1 to 10, by lines of sight in eight directions; 0 in holes."""
    n_rows, n_cols = z.shape
    forms = np.zeros(z.shape, dtype=np.uint8)
    flat = math.tan(flat_rad)
    for r in range(n_rows):
        for c in range(n_cols):
            if np.isnan(z[r, c]):
                continue
            lower, higher = 0, 0
            for k in range(8):
                dr, dc = ROW_STEPS[k], COL_STEPS[k]
                step = cell_m * math.sqrt(dr * dr + dc * dc)
                largest, smallest = -np.inf, np.inf
                i, j, far = r + dr, c + dc, step
                while far < search_m and 0 <= i < n_rows and 0 <= j < n_cols:
                    rise = (z[i, j] - z[r, c]) / far
                    if not np.isnan(rise):
                        largest = max(largest, rise)
                        smallest = min(smallest, rise)
                    i += dr
                    j += dc
                    far += step
                up, down = abs(largest), abs(smallest)
                if largest == -np.inf or (up <= flat and down <= flat):
                    continue
                # On a true plane both are the same line of sight; its sign decides.
                if up > down or (up == down and largest > 0.0):
                    higher += 1
                else:
                    lower += 1
            forms[r, c] = FORM_TABLE[lower, higher]
    return forms


@njit(cache=True, nogil=True)
def _root(parent: IntArray, cell: int) -> int:
    """Return the first cell of a set, shortening the way to it."""
    while parent[cell] != cell:
        parent[cell] = parent[parent[cell]]
        cell = parent[cell]
    return cell


@njit(cache=True, nogil=True)
def joins(
    z: FloatArray, order: IntArray, least_rise_m: float, least_cells: int
) -> tuple[IntArray, IntArray, IntArray]:
    """Return where two hills first join while the level sinks.

    ``z`` are heights, ``order`` the flat indices of known cells from high to low. A join is kept
    if the lower of the two tops rises at least ``least_rise_m`` above it and the smaller hill has
    ``least_cells`` cells above it. Returned are the joining cells, the lower and higher tops.
    """
    n_rows, n_cols = z.shape
    flat = z.ravel()
    parent = np.full(z.size, -1)
    top = np.arange(z.size)
    size = np.zeros(z.size, dtype=np.int64)
    at = np.empty(order.size, dtype=np.int64)
    low_top = np.empty(order.size, dtype=np.int64)
    high_top = np.empty(order.size, dtype=np.int64)
    n = 0
    for cell in order:
        parent[cell] = cell
        size[cell] = 1
        r, c = cell // n_cols, cell % n_cols
        for k in range(8):
            i, j = r + ROW_STEPS[k], c + COL_STEPS[k]
            if i < 0 or j < 0 or i >= n_rows or j >= n_cols or parent[i * n_cols + j] < 0:
                continue
            a, b = _root(parent, cell), _root(parent, i * n_cols + j)
            if a == b:
                continue
            if flat[top[a]] < flat[top[b]]:
                a, b = b, a
            rise = flat[top[b]] - flat[cell]
            if rise >= least_rise_m and min(size[a], size[b]) >= least_cells and n < order.size:
                at[n], low_top[n], high_top[n] = cell, top[b], top[a]
                n += 1
            parent[b] = a
            size[a] += size[b]
    return at[:n], low_top[:n], high_top[:n]


@njit(cache=True, nogil=True)
def drainage(z: FloatArray) -> tuple[IntArray, IntArray]:
    """Return where each cell drains to (flat index, -1 at outlets and holes) and how many cells do.

    Depressions are filled from the border and from holes inwards (priority flood); each cell
    drains to its steepest lower neighbour, or to the one that it was flooded from.
    """
    n_rows, n_cols = z.shape
    filled = z.copy().ravel()
    receiver = np.full(z.size, -1)
    is_seen = np.isnan(filled)
    heap = [(0.0, np.int64(0)) for _ in range(0)]
    for r in range(n_rows):
        for c in range(n_cols):
            cell = np.int64(r * n_cols + c)
            if is_seen[cell]:
                continue
            is_rim = r == 0 or c == 0 or r == n_rows - 1 or c == n_cols - 1
            if not is_rim:
                for k in range(8):
                    if np.isnan(z[r + ROW_STEPS[k], c + COL_STEPS[k]]):
                        is_rim = True
            if is_rim:
                heapq.heappush(heap, (filled[cell], cell))
    for _, cell in heap:
        is_seen[cell] = True
    flooded = np.empty(z.size, dtype=np.int64)
    n = 0
    while heap:
        _, cell = heapq.heappop(heap)
        flooded[n] = cell
        n += 1
        r, c = cell // n_cols, cell % n_cols
        steepest = 0.0
        for k in range(8):
            i, j = r + ROW_STEPS[k], c + COL_STEPS[k]
            if i < 0 or j < 0 or i >= n_rows or j >= n_cols:
                continue
            other = np.int64(i * n_cols + j)
            if not is_seen[other]:
                is_seen[other] = True
                filled[other] = max(filled[other], filled[cell])
                receiver[other] = cell
                heapq.heappush(heap, (filled[other], other))
            elif not np.isnan(filled[other]):
                run = math.sqrt(ROW_STEPS[k] * ROW_STEPS[k] + COL_STEPS[k] * COL_STEPS[k])
                drop = (filled[cell] - filled[other]) / run
                if drop > steepest:
                    steepest = drop
                    receiver[cell] = other
    gathered = np.zeros(z.size, dtype=np.int64)
    for m in range(n - 1, -1, -1):
        cell = flooded[m]
        gathered[cell] += 1
        if receiver[cell] >= 0:
            gathered[receiver[cell]] += gathered[cell]
    return receiver.reshape(z.shape), gathered.reshape(z.shape)
