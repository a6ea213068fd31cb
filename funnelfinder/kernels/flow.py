"""Loops over the net flow of trips: its density, its order, and single trips drawn on it."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def flux(indptr, indices, weights, rows, cols, visits, reach):  # type: ignore[no-untyped-def]
    """Return the net flow density (eastward, northward) of each kept cell [share per cell].

    Parameters
    ----------
    indptr, indices, weights
        The edges as a symmetric CSR matrix over kept cells.
    rows, cols : (n,) int64
        Where the kept cells lie.
    visits, reach : (n,) float64
        G and z of the pair.
    """
    n = rows.size
    east = np.zeros(n)
    north = np.zeros(n)
    for i in range(n):
        total_east = 0.0
        total_north = 0.0
        for k in range(indptr[i], indptr[i + 1]):
            j = indices[k]
            net = weights[k] * (visits[i] * reach[j] - visits[j] * reach[i])
            total_east += net * (cols[j] - cols[i])
            total_north -= net * (rows[j] - rows[i])
        east[i] = 0.5 * total_east
        north[i] = 0.5 * total_north
    return east, north


@njit(cache=True, nogil=True)
def mean_walked(indptr, indices, weights, steps, visits, reach, starts, order):  # type: ignore[no-untyped-def]
    """Return the mean length walked by the flow that reaches each kept cell [units of steps].

    ``order`` holds the cells by falling u = G/z, so that all inflow is known; ``steps`` is the
    length of each edge; ``starts`` the share of trips that begin at each cell.
    """
    n = visits.size
    carried = np.zeros(n)
    walked = np.zeros(n)
    for i in range(n):
        carried[i] = starts[i]
    for position in range(n):
        i = order[position]
        if carried[i] <= 0.0:
            continue
        mean = walked[i] / carried[i]
        for k in range(indptr[i], indptr[i + 1]):
            j = indices[k]
            net = weights[k] * (visits[i] * reach[j] - visits[j] * reach[i])
            if net > 0.0:
                carried[j] += net
                walked[j] += net * (mean + steps[k])
    for i in range(n):
        walked[i] = walked[i] / carried[i] if carried[i] > 0.0 else np.nan
    return walked


@njit(cache=True, nogil=True)
def _uniform(state):  # type: ignore[no-untyped-def]
    """Return the next state and a number in [0, 1) (splitmix64; Steele, Lea & Flood 2014)."""
    state = state + np.uint64(0x9E3779B97F4A7C15)
    x = state
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    x = x ^ (x >> np.uint64(31))
    return state, (x >> np.uint64(11)) * (1.0 / 9007199254740992.0)


@njit(cache=True, nogil=True)
def draw(  # type: ignore[no-untyped-def]
    indptr, indices, weights, rows, cols, visits, reach, ends, starts, seeds, thinning, max_points
):
    """Return drawn trips: points (n, max_points, 2) as (col, row), and how many each has.

    Parameters
    ----------
    indptr, indices, weights, rows, cols, visits, reach
        As for `flux`.
    ends : (n,) float64
        Rate q at which trips end.
    starts : (trips,) int64
        First cell of each trip.
    seeds : (trips,) uint64
        One seed a trip, so that a run can be repeated exactly in any order.
    thinning : float
        Points are kept at least this far apart [cells].
    max_points : int
        A trip with more points ends there with a count of -1.
    """
    n_trips = starts.size
    points = np.empty((n_trips, max_points, 2), dtype=np.float32)
    counts = np.zeros(n_trips, dtype=np.int64)
    for trip in range(n_trips):
        state = seeds[trip]
        state, shift_col = _uniform(state)
        state, shift_row = _uniform(state)
        shift_col -= 0.5
        shift_row -= 0.5
        i = starts[trip]
        last_col = float(cols[i])
        last_row = float(rows[i])
        points[trip, 0, 0] = last_col + shift_col
        points[trip, 0, 1] = last_row + shift_row
        count = 1
        while True:
            total = ends[i] * visits[i]
            for k in range(indptr[i], indptr[i + 1]):
                j = indices[k]
                net = weights[k] * (visits[i] * reach[j] - visits[j] * reach[i])
                if net > 0.0:
                    total += net
            state, chance = _uniform(state)
            left = chance * total - ends[i] * visits[i]
            going = -1
            if left >= 0.0:
                for k in range(indptr[i], indptr[i + 1]):
                    j = indices[k]
                    net = weights[k] * (visits[i] * reach[j] - visits[j] * reach[i])
                    if net > 0.0:
                        going = j
                        left -= net
                        if left < 0.0:
                            break
            is_end = going < 0
            if not is_end:
                i = going
            col = float(cols[i])
            row = float(rows[i])
            far = np.hypot(col - last_col, row - last_row)
            if far >= thinning or (is_end and far > 0.0):
                if count == max_points:
                    count = -1
                    break
                points[trip, count, 0] = col + shift_col
                points[trip, count, 1] = row + shift_row
                last_col = col
                last_row = row
                count += 1
            if is_end:
                break
        counts[trip] = count
    return points, counts
