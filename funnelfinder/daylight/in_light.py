"""The part of each drawn trip that is walked in legal light."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtri

from funnelfinder.daylight.clock import Clock, Half
from funnelfinder.grid import Grid
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.trips import DrawnTrips


def in_light(
    drawn: DrawnTrips, clocks: Sequence[Clock], grid: Grid, is_open: BoolArray, *, seed: int
) -> DrawnTrips:
    """Return the drawn trips, each cut to the part near its bed that is walked in legal light.

    Evening and morning alike this part begins at the bed. Each trip leaves (or comes) at a time
    drawn from its clock, the quantiles of every pair spread evenly, so that whatever catches part
    of these trips catches that share of all trips in legal light. With several clocks the trips
    take turns, two by two, so that both halves of `DrawnTrips.half` know every clock; shares are
    then the mean over the clocks. A trip without light keeps one point and is caught nowhere.

    Parameters
    ----------
    drawn : DrawnTrips
        Whole trips.
    clocks : sequence of Clock
        When trips pass, such as evening and morning.
    grid : Grid
        Of ``is_open``.
    is_open : (rows, cols) bool
        Open ground, before which trips wait in the evening.
    seed : int
        The same seed gives the same parts.
    """
    walked = _walked_m(drawn)
    out_m = _first_open_m(drawn, walked, grid, is_open)
    limit = np.zeros(drawn.n_trips)
    turn = np.arange(drawn.n_trips) // 2 % len(clocks)
    chooser = np.random.default_rng(seed)
    for number, clock in enumerate(clocks):
        for pair in np.unique(drawn.pair):
            group = np.flatnonzero((turn == number) & (drawn.pair == pair))
            limit[group] = _lit_m(clock, _leaving_min(clock, group.size, chooser), out_m[group])
    return _cut(drawn, walked, limit)


def _walked_m(drawn: DrawnTrips) -> FloatArray:
    """Return how far each point lies from its trip's bed along the trip, (n,) [m]."""
    steps = np.append(0.0, np.hypot(*np.diff(drawn.points_m, axis=0).T))
    steps[drawn.first[:-1]] = 0.0
    total = np.cumsum(steps)
    return np.asarray(total - total[drawn.first[:-1]][_trip_of(drawn)])


def _trip_of(drawn: DrawnTrips) -> IntArray:
    """Return which trip each point belongs to."""
    return np.repeat(np.arange(drawn.n_trips), np.diff(drawn.first))


def _first_open_m(
    drawn: DrawnTrips, walked: FloatArray, grid: Grid, is_open: BoolArray
) -> FloatArray:
    """Return how far each trip goes before it steps into the open [m]; infinite if never."""
    rows, cols = grid.nearest_cells(drawn.points_m)
    first = np.full(drawn.n_trips, np.inf)
    out = is_open[rows, cols]
    np.minimum.at(first, _trip_of(drawn)[out], walked[out])
    return first


def _leaving_min(clock: Clock, n: int, chooser: np.random.Generator) -> FloatArray:
    """Return when each of n trips leaves its bed, or comes to it, in the clock's minutes."""
    quantiles = (chooser.permutation(n) + 0.5) / n
    return np.asarray(clock.bed_min + clock.spread_min * ndtri(quantiles))


def _lit_m(clock: Clock, at_min: FloatArray, out_m: FloatArray) -> FloatArray:
    """Return how far from the bed each trip is walked in legal light [m]."""
    begin, end = clock.light_min
    if clock.half is Half.MORNING:
        lit = (at_min - begin) * clock.pace_m_min
    else:
        lit = (end - at_min) * clock.pace_m_min
        waited = np.maximum(out_m, lit - clock.wait_min * clock.pace_m_min)
        lit = np.where(lit > out_m, waited, lit)
    return np.where((at_min < begin) | (at_min > end), 0.0, np.maximum(lit, 0.0))


def _cut(drawn: DrawnTrips, walked: FloatArray, limit_m: FloatArray) -> DrawnTrips:
    """Return the trips cut at a length from their beds."""
    trip = _trip_of(drawn)
    keeps = walked <= limit_m[trip]
    keeps[drawn.first[:-1]] = True
    last = drawn.first[:-1] + np.add.reduceat(keeps, drawn.first[:-1]) - 1
    goes_on = (last + 1 < drawn.first[1:]) & (limit_m > walked[last])
    ends = last[goes_on]
    part = (limit_m[goes_on] - walked[ends]) / (walked[ends + 1] - walked[ends])
    cut = drawn.points_m[ends] + part[:, None] * (drawn.points_m[ends + 1] - drawn.points_m[ends])
    points = np.concatenate([drawn.points_m[keeps], cut])
    order = np.argsort(np.concatenate([trip[keeps], np.flatnonzero(goes_on)]), kind="stable")
    counts = np.add.reduceat(keeps, drawn.first[:-1]) + goes_on
    return DrawnTrips(
        points_m=points[order],
        first=np.concatenate(([0], np.cumsum(counts))).astype(np.int64),
        pair=drawn.pair,
        weight=drawn.weight,
    )
