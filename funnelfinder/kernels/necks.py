"""Where the middle line of cover is narrow between two wide parts."""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from funnelfinder.kernels import FloatArray, IntArray


@njit(cache=True, nogil=True)
def _wide_sides(
    width: FloatArray,
    start: int,
    cell_m: float,
    side_m: float,
    even: float,
    longest_m: float,
    seen: IntArray,
) -> tuple[float, float]:
    """Return the largest widths on the two widest ways away from a cell of the middle line."""
    n_rows, n_cols = width.shape
    row, col = start // n_cols, start % n_cols
    narrow = even * width[row, col]
    queue = np.empty(seen.size, dtype=np.int64)
    branch = np.empty(seen.size, dtype=np.int64)
    gone = np.empty(seen.size)
    beyond = np.empty(seen.size)
    seen[start] = start
    head, tail = 0, 0
    # Neighbours of the start that touch each other belong to one way.
    for i in range(max(row - 1, 0), min(row + 2, n_rows)):
        for j in range(max(col - 1, 0), min(col + 2, n_cols)):
            cell = i * n_cols + j
            if cell == start or width[i, j] <= 0.0:
                continue
            seen[cell] = start
            queue[tail], branch[tail], gone[tail], beyond[tail] = cell, tail, cell_m, 0.0
            for k in range(tail):
                if abs(queue[k] // n_cols - i) <= 1 and abs(queue[k] % n_cols - j) <= 1:
                    old = branch[tail]
                    for m in range(tail + 1):
                        if branch[m] == old:
                            branch[m] = branch[k]
            tail += 1
    widest = np.zeros(max(tail, 1))
    while head < tail:
        cell, way = queue[head], branch[head]
        r, c = cell // n_cols, cell % n_cols
        widest[way] = max(widest[way], width[r, c])
        if beyond[head] < side_m and gone[head] < longest_m + side_m:
            for i in range(max(r - 1, 0), min(r + 2, n_rows)):
                for j in range(max(c - 1, 0), min(c + 2, n_cols)):
                    other = i * n_cols + j
                    if width[i, j] <= 0.0 or seen[other] == start:
                        continue
                    seen[other] = start
                    step = cell_m * math.hypot(i - r, j - c)
                    queue[tail], branch[tail] = other, way
                    gone[tail] = gone[head] + step
                    beyond[tail] = beyond[head] + (step if width[i, j] > narrow else 0.0)
                    tail += 1
        head += 1
    first, second = 0.0, 0.0
    for one in widest:
        if one > first:
            first, second = one, first
        elif one > second:
            second = one
    return first, second


@njit(cache=True, nogil=True)
def narrows(
    width: FloatArray,
    cell_m: float,
    most_m: float,
    ratio: float,
    side_m: float,
    even: float,
    longest_m: float,
    apart_m: float,
) -> tuple[IntArray, FloatArray]:
    """Return the narrow cells of a middle line and the width that both sides reach.

    ``width`` is the width of the cover on its middle line and 0 elsewhere [m]. A narrow cell is
    at most ``most_m`` wide, and two ways lead from it to cover ``ratio`` times as wide within
    ``side_m``, counted where the cover is wider than ``even`` times its width, over at most
    ``longest_m`` more. The narrowest come first; each is ``apart_m`` from those before it.
    """
    flat = width.ravel()
    candidates = np.flatnonzero((flat > 0.0) & (flat <= most_m))
    candidates = candidates[np.argsort(flat[candidates], kind="mergesort")]
    cells = np.empty(candidates.size, dtype=np.int64)
    wide = np.empty(candidates.size)
    seen = np.full(width.size, -1)
    n_cols = width.shape[1]
    n = 0
    for cell in candidates:
        is_near = False
        for k in range(n):
            rows_off = cells[k] // n_cols - cell // n_cols
            cols_off = cells[k] % n_cols - cell % n_cols
            if math.hypot(rows_off, cols_off) * cell_m < apart_m:
                is_near = True
                break
        if is_near:
            continue
        _, second = _wide_sides(width, int(cell), cell_m, side_m, even, longest_m, seen)
        if second >= ratio * flat[cell]:
            cells[n], wide[n] = cell, second
            n += 1
    return cells[:n], wide[:n]
