"""Single trips drawn on the net flow, seeded so that a run can be repeated exactly."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from funnelfinder.defaults import TripSettings
from funnelfinder.errors import GridError
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.kernels.flow import draw
from funnelfinder.trips.pairs import PairTrips

#: A thinned trip of more points than this is no trip but a fault (18 km at 30 m).
_MOST_POINTS = 600
#: Every pair draws at least this many, so that a faint pair is not a handful of lines.
_LEAST_TRIPS = 100


@dataclass(frozen=True, kw_only=True)
class DrawnTrips:
    """Single trips from bed to food.

    Parameters
    ----------
    points_m : (n, 2) float64
        All points of all trips, easting first [m].
    first : (trips + 1,) int64
        Trip t has the points ``first[t]`` to ``first[t + 1]``.
    pair : (trips,) int64
        Which pair each trip belongs to.
    weight : (trips,) float64
        Share of all trips that each stands for; they sum to 1.
    """

    points_m: FloatArray
    first: IntArray
    pair: IntArray
    weight: FloatArray

    @property
    def n_trips(self) -> int:
        """Number of trips."""
        return self.pair.size

    def trip_m(self, number: int) -> FloatArray:
        """Return the points of one trip, (n, 2) [m]."""
        return self.points_m[self.first[number] : self.first[number + 1]]

    def lengths_m(self) -> FloatArray:
        """Return the length of each trip [m]."""
        steps = np.hypot(*np.diff(self.points_m, axis=0).T)
        steps = np.append(steps, 0.0)
        steps[self.first[1:] - 1] = 0.0
        return np.add.reduceat(steps, self.first[:-1])

    def half(self, number: int) -> DrawnTrips:
        """Return every second trip (0 or 1), weighted to sum to 1: one half chooses, one reports.

        Halves of one pair are equally large to within one trip.
        """
        chosen = np.flatnonzero(np.arange(self.n_trips) % 2 == number)
        counts = np.diff(self.first)[chosen]
        places = np.concatenate([np.arange(self.first[t], self.first[t + 1]) for t in chosen])
        weight = self.weight[chosen]
        return DrawnTrips(
            points_m=self.points_m[places],
            first=np.concatenate(([0], np.cumsum(counts))),
            pair=self.pair[chosen],
            weight=weight / weight.sum(),
        )


def draw_trips(pairs: Sequence[PairTrips], settings: TripSettings, *, seed: int) -> DrawnTrips:
    """Return drawn trips of all pairs, in proportion to their demand.

    At a cell i a trip goes to j with chance max(f_ij, 0) / S_i and ends with chance q_i G_i / S_i,
    S_i = Σ max(f_ik, 0) + q_i G_i: it runs downhill in u = G/z and never turns back.

    Parameters
    ----------
    pairs : sequence of PairTrips
        What to draw from.
    settings : TripSettings
        How many trips, and how far apart their points are kept.
    seed : int
        The same seed gives the same trips, pair by pair.

    Raises
    ------
    GridError
        If a trip does not end (a fault of the ground, not of the person).
    """
    parts = [_draw_pair(pair, settings, seed) for pair in pairs]
    counts = np.concatenate([np.diff(first) for _, first in parts])
    sizes = [first.size - 1 for _, first in parts]
    demands = [pair.demand for pair in pairs]
    weight = np.repeat(np.array(demands) / np.array(sizes), sizes)
    return DrawnTrips(
        points_m=np.concatenate([points for points, _ in parts]),
        first=np.concatenate(([0], np.cumsum(counts))).astype(np.int64),
        pair=np.repeat(np.arange(len(pairs)), sizes),
        weight=weight / weight.sum(),
    )


def _draw_pair(pair: PairTrips, settings: TripSettings, seed: int) -> tuple[FloatArray, IntArray]:
    """Return the points of one pair's trips and where each begins."""
    n_trips = max(_LEAST_TRIPS, round(settings.n_drawn * pair.demand))
    n_trips += n_trips % 2
    name = zlib.crc32(f"{pair.bed.mark.key}>{pair.food.mark.key}".encode())
    chooser = np.random.default_rng([seed, name])
    places = np.flatnonzero(pair.starts)
    starts = chooser.choice(places, size=n_trips, p=pair.starts[places])
    seeds = chooser.integers(0, 2**63, size=n_trips, dtype=np.uint64)
    stencil = pair.stencil
    edges = stencil.weights
    points, counts = draw(
        edges.indptr,
        edges.indices,
        edges.data,
        stencil.rows,
        stencil.cols,
        pair.visits,
        pair.reach,
        pair.ends,
        starts,
        seeds,
        settings.thinning_m / stencil.grid.cell_m,
        _MOST_POINTS,
    )
    if (counts < 0).any():
        raise GridError(
            f"Trips of {pair.label} do not end.",
            where=pair.label,
            remedy="Try a smaller wander.",
        )
    kept = np.arange(points.shape[1]) < counts[:, None]
    cols_rows = points[kept].astype(np.float64)
    on_map = stencil.grid.points_m(cols_rows[:, 1], cols_rows[:, 0])
    return on_map, np.concatenate(([0], np.cumsum(counts)))
