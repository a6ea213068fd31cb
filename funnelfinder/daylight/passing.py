"""Passage in legal light on the map, and the trips that pass a spot in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr

from funnelfinder.daylight.clock import Clock
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.trips import PairTrips


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


def daylight_passage_per_m(
    pairs: Sequence[PairTrips], clock: Clock, is_open: BoolArray
) -> FloatArray:
    """Return the net trips that cross a place in legal light [share of all trips per metre].

    Every place takes the mean length that trips of a pair have walked there. The wait before open
    ground counts on open cells; what lies in cover beyond a clearing is passed that much earlier
    here than in reality.

    Parameters
    ----------
    pairs : sequence of PairTrips
        All pairs.
    clock : Clock
        When trips pass.
    is_open : (rows, cols) bool
        Open ground.
    """
    total = np.zeros(is_open.shape)
    for pair in pairs:
        flow = pair.demand * np.hypot(*pair.flux_per_m)
        light = clock.light_share(pair.walked_m(), is_open.astype(np.float64))
        total += np.where(np.isfinite(light), flow * light, 0.0)
    return total
