"""When a person walks, which trips are still to come then, and which are under way."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

import numpy as np
import shapely
from scipy.special import ndtr

from funnelfinder.daylight import Half
from funnelfinder.kernels import AnyArray, FloatArray, IntArray
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


@dataclass(frozen=True, kw_only=True)
class TripLines:
    """Drawn trips as lines: ``trip`` their numbers, ``out_m`` where each steps into the open.

    Trips of a single point are left out. ``out_m`` is the length walked [m], infinite where a trip
    stays in cover.
    """

    lines: AnyArray
    trip: IntArray
    weight: FloatArray
    out_m: FloatArray


def trip_lines(base: StandBase) -> TripLines:
    """Return the drawn trips as lines."""
    drawn, walks = base.drawn, base.walks
    of_point = np.repeat(np.arange(drawn.n_trips), np.diff(drawn.first))
    is_long = np.diff(drawn.first)[of_point] > 1
    trip, number = np.unique(of_point[is_long], return_inverse=True)
    lines = shapely.linestrings(drawn.points_m[is_long], indices=number)
    out_m = np.full(drawn.n_trips, np.inf)
    of_walk = np.repeat(np.arange(drawn.n_trips), np.diff(walks.first))
    out = base.has_stepped_out
    np.minimum.at(out_m, of_walk[out], walks.walked_m[out])
    return TripLines(
        lines=np.atleast_1d(np.asarray(lines)),
        trip=trip,
        weight=drawn.weight[trip],
        out_m=out_m[trip],
    )


def crossed(
    base: StandBase, trips: TripLines, line: shapely.Geometry, half: Half, at_min: float
) -> tuple[float, float]:
    """Return the share of trips whose way a walk crosses, and of those still to come there.

    Who has passed before the person walks does not come upon the track. A trip that crosses the
    walk several times counts with the last time that it does.

    Parameters
    ----------
    base, trips
        Ground, and `trip_lines`.
    line : shapely geometry
        The walk.
    half : Half
        Evening or morning.
    at_min : float
        When the person walks, from `walk_min`.
    """
    shapely.prepare(line)
    hit = np.flatnonzero(shapely.intersects(line, trips.lines))
    if not hit.size:
        return 0.0, 0.0
    met = shapely.intersection(trips.lines[hit], line)
    places, of_hit = shapely.get_coordinates(met, return_index=True)
    walked = shapely.line_locate_point(trips.lines[hit][of_hit], shapely.points(places))
    clock = base.clock(half)
    out = (walked >= trips.out_m[hit][of_hit]).astype(np.float64)
    later = 1.0 - ndtr((at_min - clock.passes_min(walked, out)) / clock.spread_min)
    last = np.zeros(hit.size)
    np.maximum.at(last, of_hit, later)
    return float(trips.weight[hit].sum()), float(trips.weight[hit] @ last)


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
