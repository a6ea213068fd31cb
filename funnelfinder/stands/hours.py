"""When a person walks, which trips are still to come then, and which are under way."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

import numpy as np
import shapely
from scipy.special import ndtr

from funnelfinder.daylight import Half
from funnelfinder.kernels import FloatArray
from funnelfinder.kernels.tracks import trip_crossings
from funnelfinder.stands.base import StandBase

#: Deer under way at one moment are stood for by this many places.
_N_PLACES: Final = 16
#: Fewer trips than this under way count as none [share].
_NOBODY_SHARE: Final = 0.005


def walk_min(base: StandBase, half: Half, *, is_out: bool) -> float:
    """Return when a person sets out, in minutes after sunset (evening) or sunrise (morning).

    In so long before the sit that the settings say; out once legal light is over, or so long
    after sunrise that the settings say.
    """
    own, light = base.settings.stands, base.settings.daylight
    if half is Half.EVENING:
        leaving = light.legal_after_min + own.walk_out_after_light_min
        return leaving if is_out else -own.walk_in_before_sunset_min
    coming = -light.legal_before_min - own.walk_in_before_light_min
    return own.walk_out_after_sunrise_min if is_out else coming


def walk_at(base: StandBase, half: Half, *, is_out: bool) -> datetime:
    """Return when a person sets out, on the clock."""
    edge = base.day.sunset if half is Half.EVENING else base.day.sunrise
    return edge + timedelta(minutes=walk_min(base, half, is_out=is_out))


def stepping_out_m(base: StandBase) -> FloatArray:
    """Return the length walked where each trip steps into the open, (trips,) [m].

    Infinite where a trip stays in cover.
    """
    walks, out = base.walks, base.has_stepped_out
    out_m = np.full(walks.weight.size, np.inf)
    trip = np.repeat(np.arange(walks.weight.size), np.diff(walks.first))
    np.minimum.at(out_m, trip[out], walks.walked_m[out])
    return out_m


def crossed(
    base: StandBase, out_m: FloatArray, points_m: FloatArray, half: Half, at_min: float
) -> tuple[float, float]:
    """Return the share of trips whose way a walk crosses, and of those still to come there.

    Who has passed before the person walks does not come upon the track. A trip that crosses the
    walk several times counts with the last time that it does.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    out_m : (trips,) float64
        From `stepping_out_m`.
    points_m : (n, 2) float64
        The walk [m].
    half : Half
        Evening or morning.
    at_min : float
        When the person walks, from `walk_min`.
    """
    # A path runs straight for many cells; without the points between it crosses the same.
    walk = points_m if len(points_m) < 2 else shapely.get_coordinates(_plain(points_m))
    begin, end = trip_crossings(base.drawn.points_m, base.drawn.first, walk)
    hit = np.isfinite(end)
    clock = base.clock(half)
    walked = (begin if half is Half.MORNING else end)[hit]
    mean = clock.passes_min(walked, (walked >= out_m[hit]).astype(np.float64))
    later = 1.0 - ndtr((at_min - mean) / clock.spread_min)
    weight = base.drawn.weight[hit]
    return float(weight.sum()), float(weight @ later)


def _plain(points_m: FloatArray) -> shapely.Geometry:
    """Return a walk without the points on straight runs."""
    return shapely.simplify(shapely.LineString(points_m), 0.0)


def under_way(base: StandBase, half: Half, at_min: float) -> tuple[FloatArray, FloatArray]:
    """Return a few places that stand for the deer under way at a moment, and their shares.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    half : Half
        Evening or morning.
    at_min : float
        The moment, from `walk_min`.

    Returns
    -------
    points_m : (n, 2) float64
        Where they are [m].
    share : (n,) float64
        Share of all trips that each stands for; they sum to the share that is under way.
    """
    walks, clock = base.walks, base.clock(half)
    mean = clock.passes_min(walks.walked_m, base.has_stepped_out.astype(np.float64))
    # How long a trip is between a point and the next; none after its last.
    minutes = np.append(np.abs(np.diff(mean)), 0.0)
    minutes[walks.first[1:] - 1] = 0.0
    z = (at_min - mean) / clock.spread_min
    per_min = np.exp(-0.5 * z * z) / (clock.spread_min * np.sqrt(2 * np.pi))
    weight = np.repeat(walks.weight, np.diff(walks.first)) * per_min * minutes
    total = np.cumsum(weight)
    if not total.size or total[-1] < _NOBODY_SHARE:
        return np.zeros((0, 2)), np.zeros(0)
    wanted = (np.arange(_N_PLACES) + 0.5) / _N_PLACES * total[-1]
    chosen = np.searchsorted(total, wanted)
    return walks.points_m[chosen], np.full(_N_PLACES, total[-1] / _N_PLACES)


def to_come_per_m(base: StandBase, half: Half, at_min: float) -> FloatArray:
    """Return the net trips still to come at each place after a moment, (rows, cols) [share/m]."""
    later = replace(base.clock(half), light_min=(at_min, np.inf))
    return base.passing_map.in_light(later)
