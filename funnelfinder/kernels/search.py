"""Least-cost search on the cells of a grid, with 8 or 16 neighbours.

A move and its reverse cost the same, so each is kept once, at the cell that it leaves southward
or due east. The search is Dijkstra's (Numer. Math. 1, 269-271, 1959) with a binary heap; with
lower bounds of the cost still to come it is that of Hart, Nilsson & Raphael (IEEE Trans. Syst.
Sci. Cybern. 4, 100-107, 1968).
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numba import njit

from funnelfinder.kernels import BoolArray, FloatArray, IntArray

#: Steps of (row, col) kept with each cell: the first four for 8 neighbours, all for 16.
HALF_MOVES: Final = np.array(
    [(0, 1), (1, -1), (1, 0), (1, 1), (1, -2), (1, 2), (2, -1), (2, 1)], dtype=np.int64
)


def move_costs(
    cost: FloatArray,
    slope_factor: FloatArray,
    fall_east: FloatArray,
    fall_north: FloatArray,
    *,
    cell_m: float,
    n_moves: int,
) -> FloatArray:
    """Return what the kept moves of each cell cost, without lines.

    A move costs its length × the mean cost of the cells it touches (its two ends; for a knight's
    move the two between as well) × the mean slope factor of its ends.

    Parameters
    ----------
    cost : (rows, cols) float64
        Cost per metre; NaN where removed. A move that touches a removed cell is infinite.
    slope_factor, fall_east, fall_north : (rows, cols) float64
        Slope factor e and unit vector of the fall line.
    cell_m : float
        Side of a cell [m].
    n_moves : int
        4 for 8 neighbours, 8 for 16.

    Returns
    -------
    (rows * cols, n_moves) float64
        Cost of the moves of `HALF_MOVES` from each cell [m of best ground].
    """
    is_level = bool(np.all(slope_factor == 1.0))
    costs = _move_costs(
        np.ascontiguousarray(cost),
        np.ascontiguousarray(slope_factor),
        np.ascontiguousarray(fall_east),
        np.ascontiguousarray(fall_north),
        cell_m,
        HALF_MOVES[:n_moves],
        is_level,
    )
    return np.asarray(costs)


def search(
    moves: FloatArray,
    n_cols: int,
    starts: IntArray,
    *,
    start_costs: FloatArray | None = None,
    goals: IntArray | None = None,
    n_wanted: int | None = None,
    still_to_come: FloatArray | None = None,
    is_shut: BoolArray | None = None,
    limit: float = np.inf,
) -> tuple[FloatArray, IntArray]:
    """Return the least cost from the nearest start to each cell, and the cell before it.

    Parameters
    ----------
    moves : (n, 4 or 8) float64
        Costs of the kept moves of each cell; infinite is no move.
    n_cols : int
        Number of columns of the grid.
    starts : (k,) int64
        Flat indices of the cells to start from.
    start_costs : (k,) float64, optional
        What each start costs already; 0 by default.
    goals : (g,) int64, optional
        Cells that end the search when ``n_wanted`` of them (all by default) are reached.
    n_wanted : int, optional
        How many goals end the search; 1 is the nearest.
    still_to_come : (n,) float64, optional
        Lower bound of the cost from each cell to a goal; must not fall faster than moves cost.
    is_shut : (n,) bool, optional
        Cells that may not be entered.
    limit : float, optional
        Cost beyond which the search ends.

    Returns
    -------
    distance : (n,) float64
        Least cost; infinite where not reached before the end.
    previous : (n,) int64
        Cell before each on its path; -1 at starts and where not reached.
    """
    wanted = np.unique(np.asarray([] if goals is None else goals, dtype=np.int64))
    is_goal = np.zeros(len(moves) if len(wanted) else 0, dtype=np.bool_)
    is_goal[wanted] = True
    distance, previous = _search(
        moves,
        HALF_MOVES[: moves.shape[1]] @ np.array([n_cols, 1]),
        np.asarray(starts, dtype=np.int64),
        np.zeros(len(starts)) if start_costs is None else np.asarray(start_costs, np.float64),
        is_goal,
        min(n_wanted or len(wanted), len(wanted)),
        np.empty(0) if still_to_come is None else still_to_come,
        np.empty(0, np.bool_) if is_shut is None else is_shut,
        float(limit),
    )
    return distance, previous


@njit(cache=True, nogil=True)
def _stretch(slope_factor, fall_east, fall_north, u_east, u_north):  # type: ignore[no-untyped-def]
    """Return the factor of a step along u on the slope: √(1 + (e² − 1)(u·g)²)."""
    along = u_east * fall_east + u_north * fall_north
    return np.sqrt(1.0 + (slope_factor * slope_factor - 1.0) * along * along)


@njit(cache=True, nogil=True)
def _move_costs(cost, factor, east, north, cell_m, steps, is_level):  # type: ignore[no-untyped-def]
    """Return the costs of the kept moves of all cells."""
    n_rows, n_cols = cost.shape
    moves = np.full((n_rows * n_cols, len(steps)), np.inf)
    lengths = np.sqrt((steps * steps).sum(axis=1).astype(np.float64))
    for r in range(n_rows):
        for c in range(n_cols):
            if np.isnan(cost[r, c]):
                continue
            for k in range(len(steps)):
                dr, dc = steps[k, 0], steps[k, 1]
                if r + dr >= n_rows or c + dc < 0 or c + dc >= n_cols:
                    continue
                mean = 0.5 * (cost[r, c] + cost[r + dr, c + dc])
                if abs(dr) + abs(dc) == 2:
                    if np.isnan(cost[r + dr, c]) or np.isnan(cost[r, c + dc]):
                        continue
                elif abs(dr) == 2:
                    mean = 0.5 * (mean + 0.5 * (cost[r + 1, c] + cost[r + 1, c + dc]))
                elif abs(dc) == 2:
                    side = c + dc // 2
                    mean = 0.5 * (mean + 0.5 * (cost[r, side] + cost[r + 1, side]))
                if np.isnan(mean):
                    continue
                slope = 1.0
                if not is_level:
                    ue, un = dc / lengths[k], -dr / lengths[k]
                    slope = 0.5 * (
                        _stretch(factor[r, c], east[r, c], north[r, c], ue, un)
                        + _stretch(
                            factor[r + dr, c + dc],
                            east[r + dr, c + dc],
                            north[r + dr, c + dc],
                            ue,
                            un,
                        )
                    )
                moves[r * n_cols + c, k] = mean * lengths[k] * cell_m * slope
    return moves


@njit(cache=True, nogil=True)
def _pushed(keys, cells, size, key, cell):  # type: ignore[no-untyped-def]
    """Put a cell on the heap; return the heap, longer if it was full."""
    if size == len(keys):
        more_keys, more_cells = np.empty(2 * size), np.empty(2 * size, cells.dtype)
        more_keys[:size], more_cells[:size] = keys, cells
        keys, cells = more_keys, more_cells
    hole = size
    while hole > 0:
        parent = (hole - 1) >> 1
        if keys[parent] <= key:
            break
        keys[hole], cells[hole] = keys[parent], cells[parent]
        hole = parent
    keys[hole], cells[hole] = key, cell
    return keys, cells


@njit(cache=True, nogil=True)
def _sink_last(keys, cells, size):  # type: ignore[no-untyped-def]
    """Fill the top of the heap with its last entry, ``size`` being left."""
    key, cell = keys[size], cells[size]
    hole = 0
    child = 1
    while child < size:
        if child + 1 < size and keys[child + 1] < keys[child]:
            child += 1
        if keys[child] >= key:
            break
        keys[hole], cells[hole] = keys[child], cells[child]
        hole = child
        child = 2 * hole + 1
    keys[hole], cells[hole] = key, cell


@njit(cache=True, nogil=True)
def _search(moves, steps, starts, start_costs, is_goal, n_wanted, ahead, is_shut, limit):  # type: ignore[no-untyped-def]
    """Settle cells in order of their cost."""
    n, n_moves = moves.shape
    distance = np.full(n, np.inf)
    previous = np.full(n, -1, np.int64)
    is_done = np.zeros(n, np.bool_)
    has_ahead, has_shut, has_goal = len(ahead) > 0, len(is_shut) > 0, len(is_goal) > 0
    keys, cells, size = np.empty(1024), np.empty(1024, np.int64), 0
    for i in range(len(starts)):
        cell = starts[i]
        if start_costs[i] < distance[cell] and not (has_shut and is_shut[cell]):
            distance[cell] = start_costs[i]
            key = start_costs[i] + (ahead[cell] if has_ahead else 0.0)
            keys, cells = _pushed(keys, cells, size, key, cell)
            size += 1
    while size > 0:
        cell = cells[0]
        key = keys[0]
        size -= 1
        _sink_last(keys, cells, size)
        if is_done[cell]:
            continue
        if key > limit or not key < np.inf:
            break
        is_done[cell] = True
        if has_goal and is_goal[cell]:
            n_wanted -= 1
            if n_wanted == 0:
                break
        gone = distance[cell]
        for k in range(2 * n_moves):
            # The reverse of a move is kept at the cell that it comes from; at the rim of the grid
            # that flat index may wrap to a cell whose move leads off the grid, which is infinite.
            there = cell + steps[k] if k < n_moves else cell - steps[k - n_moves]
            if there < 0 or there >= n:
                continue
            cost = gone + (moves[cell, k] if k < n_moves else moves[there, k - n_moves])
            if not cost < distance[there] or is_done[there] or (has_shut and is_shut[there]):
                continue
            distance[there] = cost
            previous[there] = cell
            key = cost + (ahead[there] if has_ahead else 0.0)
            keys, cells = _pushed(keys, cells, size, key, there)
            size += 1
    for cell in range(n):
        if not is_done[cell]:
            distance[cell] = np.inf
            previous[cell] = -1
    return distance, previous
