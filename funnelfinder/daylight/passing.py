"""Passage in legal light on the map, and the trips that pass a spot in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from funnelfinder.daylight.clock import Clock
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.kernels.in_light import add_in_light
from funnelfinder.trips import PairTrips

#: Shares in legal light are computed every so many metres walked, straight between them. That is
#: off by h² / 8 × 0.242 / spread²: by 2e-7 at the usual spread of 35 min × 12 m/min [m].
_STEP_M: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Passing:
    """How trips pass a spot.

    ``share`` of all trips come within reach, ``light_share`` of all trips do so in legal light;
    ``median_min`` is when the middle one of those within reach comes [min after sunset or
    sunrise], NaN where none does.
    """

    share: float
    light_share: float
    median_min: float


def passing(
    walked_m: FloatArray, weight: FloatArray, clock: Clock, steps_out: FloatArray | None = None
) -> Passing:
    """Return how trips pass a spot.

    Parameters
    ----------
    walked_m : (trips,) float64
        Length between bed and the first point within reach; NaN for trips that never come [m].
    weight : (trips,) float64
        Share of all trips that each stands for.
    clock : Clock
        When trips pass.
    steps_out : (trips,) float64, optional
        1 where a trip stepped into the open before.
    """
    comes = np.isfinite(walked_m)
    share = float(weight[comes].sum())
    if share <= 0:
        return Passing(share=0.0, light_share=0.0, median_min=math.nan)
    out = np.zeros(comes.sum()) if steps_out is None else steps_out[comes]
    light = clock.light_share(walked_m[comes], out)
    means, parts = clock.passes_min(walked_m[comes], out), weight[comes] / share

    def late(at_min: float) -> float:
        return float(parts @ ndtr((at_min - means) / clock.spread_min)) - 0.5

    reach = 5 * clock.spread_min
    median = brentq(late, means.min() - reach, means.max() + reach, xtol=0.01)
    return Passing(share=share, light_share=float(weight[comes] @ light), median_min=float(median))


@dataclass(frozen=True, kw_only=True)
class PassingMap:
    """All of a passage map that does not hang on the date, so that a date can be slid.

    Parameters
    ----------
    flow_per_m : tuple of (n,) float32
        Net trips of each pair that cross a cell [share of all trips per metre of front].
    walked_m : tuple of (n,) float32
        Mean length that they have walked from the bed there [m].
    longest_m : float
        The longest of them [m].
    is_open : (rows, cols) bool
        Open ground.
    """

    flow_per_m: tuple[AnyArray, ...]
    walked_m: tuple[AnyArray, ...]
    longest_m: float
    is_open: BoolArray

    def in_light(self, clock: Clock) -> FloatArray:
        """Return the net trips that cross a place in legal light, (rows, cols).

        In share of all trips per metre; the first call for a ground compiles, later ones take
        milliseconds.
        """
        n = math.ceil(self.longest_m / _STEP_M) + 2
        lengths = np.arange(n, dtype=np.float64) * _STEP_M
        shares = np.array([clock.light_share(lengths, out) for out in (0.0, 1.0)])
        is_open = self.is_open.ravel()
        total = np.zeros(is_open.size)
        for flow, walked in zip(self.flow_per_m, self.walked_m, strict=True):
            add_in_light(total, flow, walked, is_open, shares, _STEP_M)
        return total.reshape(self.is_open.shape)


def passing_map(pairs: Sequence[PairTrips], is_open: BoolArray) -> PassingMap:
    """Return all of a passage map that does not hang on the date.

    Every place takes the mean length that trips of a pair have walked there. The wait before open
    ground counts on open cells; what lies in cover beyond a clearing is passed that much earlier
    here than in reality.

    Parameters
    ----------
    pairs : sequence of PairTrips
        All pairs.
    is_open : (rows, cols) bool
        Open ground.
    """
    flow = tuple((one.demand * one.density_per_m).ravel().astype(np.float32) for one in pairs)
    walked = tuple(one.walked_m().ravel().astype(np.float32) for one in pairs)
    known = [one[np.isfinite(one)] for one in walked]
    longest = max((float(one.max()) for one in known if one.size), default=0.0)
    return PassingMap(flow_per_m=flow, walked_m=walked, longest_m=longest, is_open=is_open)


def daylight_passage_per_m(
    pairs: Sequence[PairTrips], clock: Clock, is_open: BoolArray
) -> FloatArray:
    """Return the net trips that cross a place in legal light [share of all trips per metre].

    For one date; for several keep the `passing_map`.

    Parameters
    ----------
    pairs : sequence of PairTrips
        All pairs.
    clock : Clock
        When trips pass.
    is_open : (rows, cols) bool
        Open ground.
    """
    return passing_map(pairs, is_open).in_light(clock)
