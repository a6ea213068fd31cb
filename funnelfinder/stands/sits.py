"""One sit: who comes in legal light, who is alerted, and how it ranks among the others."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

import numpy as np

from funnelfinder.daylight import Clock, Half, Passing, passing
from funnelfinder.defaults import Pressure, StandSettings
from funnelfinder.kernels import FloatArray, IntArray
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.hours import walk_at
from funnelfinder.stands.spots import Stand
from funnelfinder.stands.walking import way_ground
from funnelfinder.stands.ways import Way, ways_to
from funnelfinder.sun import sun_position
from funnelfinder.units import said_length, said_share
from funnelfinder.wind import Air, Sky, air_at, scent_bits, scented_parts

#: The air of a sit is that of sunset, or of an hour after sunrise (judgement).
_MORNING: Final = timedelta(hours=1)
#: Fewer others alerted than this are not worth a word [share].
_FEW_OTHERS: Final = 0.01
#: Stands of one cluster share their deer, so that a sit wears them all.
SitLog = Mapping[int, Sequence[date]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When somebody sits, and on which wind.

    ``from_deg`` is NaN for variable wind; ``spread_deg`` is what the person knows beyond the usual
    swing. The day and the part of the season are those of the `StandBase`.
    """

    half: Half
    from_deg: float
    speed_m_s: float
    sky: Sky = Sky.CLEAR
    spread_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sit:
    """One stand at one moment.

    Parameters
    ----------
    stand : Stand
        Where.
    air : Air
        The air.
    passing : Passing
        Trips that pass its cluster: all, and in legal light.
    light_low, light_high : float
        Share in legal light under heavy and under light pressure.
    alerted : float
        Share of all trips that would come within reach in legal light, but cross the hunter's
        scent first: a part of the share in legal light, so that both can be taken from each other.
    others : float
        Share of all trips that cross the scent in legal light and would never have come within
        reach: they cost nothing on this sit, but learn that the place is hunted.
    rest : float
        What resting leaves of the worth, 0 to 1.
    way, way_out : Way, optional
        The best ways in and out, if they were sought and found.
    why : tuple of str
        Reasons in words.
    """

    stand: Stand
    air: Air
    passing: Passing
    light_low: float
    light_high: float
    alerted: float
    others: float = 0.0
    rest: float = 1.0
    way: Way | None = None
    way_out: Way | None = None
    why: tuple[str, ...] = ()

    @property
    def alerted_part(self) -> float:
        """Of the trips that would come within reach in legal light, the part alerted first."""
        light = self.passing.light_share
        return self.alerted / light if light > 0 else 0.0

    @property
    def worth(self) -> float:
        """Caught in legal light less alerted, as far as the stand is rested [share].

        That is the share of trips that come in legal light and have not smelt the person.
        """
        worth = self.passing.light_share - self.alerted
        return worth * self.rest if worth > 0 else worth


def air_of(base: StandBase, moment: Moment, at: datetime | None = None) -> Air:
    """Return the air of a moment: of its sit, or of another time on the same wind and sky."""
    day = base.day
    if at is None:
        at = day.sunset if moment.half is Half.EVENING else day.sunrise + _MORNING
    lon, lat = base.lon_lat_deg
    return air_at(
        at,
        day,
        sun_position(lat, lon, at)[0],
        from_deg=moment.from_deg,
        speed_m_s=moment.speed_m_s,
        sky=moment.sky,
        settings=base.settings.wind,
        spread_deg=moment.spread_deg,
    )


def both_ways(
    base: StandBase, stands: Sequence[Stand], moment: Moment
) -> tuple[dict[str, Way], dict[str, Way]]:
    """Return the best ways in and the best ways out, by stand, in the air of their own hours."""

    def ways(is_out: bool) -> dict[str, Way]:
        air = air_of(base, moment, walk_at(base, moment.half, is_out=is_out))
        return ways_to(base, way_ground(base, moment.half, air, is_out=is_out), stands)

    # The kernels leave the interpreter lock, and two cores are common.
    with ThreadPoolExecutor(2) as pool:
        found_in, found_out = pool.map(ways, (False, True))
    return found_in, found_out


def within_of(base: StandBase, stand: Stand) -> tuple[IntArray, IntArray]:
    """Return the first and last point of each trip within reach of a stand's scrapes."""
    return base.walks.within(np.array(stand.scrapes_m), base.settings.scrapes.reach_m)


def passing_of(base: StandBase, within: tuple[IntArray, IntArray], clock: Clock) -> Passing:
    """Return how trips pass a stand's scrapes (`within_of`); the wind has no part in it."""
    met = within[0] if clock.half is Half.EVENING else within[1]
    comes = met >= 0
    walked = np.where(comes, base.walks.walked_m[met], np.nan)
    out = (comes & base.has_stepped_out[met]).astype(np.float64)
    return passing(walked, base.walks.weight, clock, out)


@dataclass(frozen=True, kw_only=True)
class Comers:
    """Who comes to a stand's scrapes, whatever the wind.

    ``within`` is from `within_of`, ``light`` (trips,) the share of each trip that comes within
    reach in legal light, 0 where it never comes.
    """

    within: tuple[IntArray, IntArray]
    clock: Clock
    light: FloatArray


def comers_of(base: StandBase, within: tuple[IntArray, IntArray], clock: Clock) -> Comers:
    """Return who comes to a stand's scrapes at one end of the day."""
    met = within[0] if clock.half is Half.EVENING else within[1]
    out = base.has_stepped_out[met].astype(np.float64)
    light = np.where(met >= 0, clock.light_share(base.walks.walked_m[met], out), 0.0)
    return Comers(within=within, clock=clock, light=light)


def alerted_shares(base: StandBase, stand: Stand, comers: Comers, air: Air) -> tuple[float, float]:
    """Return which trips cross a hunter's scent: those that would be caught, and others.

    The alerted share of one trip is the part of the wind's directions for which any of its points
    before reach lies in scent. A hunter loses by it only what would have come within reach in
    legal light, so the first share counts those trips as far as they come in light. Trips that
    never come within reach matter less: they are the second share, in legal light too, and lower
    no worth.

    Parameters
    ----------
    base, stand
        Ground, and where the person sits.
    comers : Comers
        From `comers_of`.
    air : Air
        The air of the sit.
    """
    here = (stand.x_m, stand.y_m)
    bits = scent_bits(
        here,
        air,
        base.drift,
        base.settings.wind,
        heights_m=(base.settings.stands.stand_height_m, 0.0),
        grid_turn_deg=base.grid_turn_deg,
    )
    parts, walked = scented_parts(
        here,
        bits,
        base.walks,
        comers.within,
        air.turns_rad.size,
        is_morning=comers.clock.half is Half.MORNING,
    )
    weight = base.walks.weight
    beyond = (comers.within[0] < 0) & (parts > 0)
    in_light = comers.clock.light_share(walked[beyond])
    others = float((weight * parts)[beyond] @ in_light)
    return float((weight * comers.light) @ parts), others


def rest_factor(days: Sequence[float], settings: StandSettings) -> float:
    """Return what is left of a stand's worth after sits so many days ago (judgement).

    Examples
    --------
    >>> rest_factor([], StandSettings())
    1.0
    """
    loss = settings.rest_loss_share
    left = (1.0 - loss * math.exp(-ago / settings.rest_days) for ago in days if ago >= 0)
    return math.prod(left, start=1.0)


def sit_of(base: StandBase, stand: Stand, moment: Moment, sits: Sequence[date] = ()) -> Sit:
    """Return what a sit is worth.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    stand : Stand
        Where.
    moment : Moment
        When, and the wind.
    sits : sequence of date
        When its cluster was hunted before.
    """
    air = air_of(base, moment)
    within = within_of(base, stand)
    comers = {one: comers_of(base, within, base.clock(moment.half, one)) for one in Pressure}
    own = comers[base.settings.cost.pressure]
    alerted, others = alerted_shares(base, stand, own, air)
    days = [float((base.day.on - one).days) for one in sits]
    return Sit(
        stand=stand,
        air=air,
        passing=passing_of(base, within, own.clock),
        light_low=float(base.walks.weight @ comers[Pressure.HEAVY].light),
        light_high=float(base.walks.weight @ comers[Pressure.LIGHT].light),
        alerted=alerted,
        others=others,
        rest=rest_factor(days, base.settings.stands),
    )


def tonight(
    base: StandBase,
    stands: Sequence[Stand],
    moment: Moment,
    *,
    log: SitLog | None = None,
    ways: Mapping[str, Way] | None = None,
    ways_out: Mapping[str, Way] | None = None,
) -> tuple[Sit, ...]:
    """Return the sits of an evening or morning, best first, with their reasons.

    A sit with a quiet way in comes before one without; beyond that the worth counts, and between
    sits worth the same to 1 of 100 trips, how few others are alerted.

    Parameters
    ----------
    base, stands
        Ground and trees.
    moment : Moment
        When, and the wind.
    log : mapping of cluster number to dates, optional
        Sits made before.
    ways, ways_out : mapping of stand name to Way, optional
        Best ways in and out on this wind.
    """
    sits = []
    for stand in stands:
        sit = sit_of(base, stand, moment, (log or {}).get(stand.cluster, ()))
        way = (ways or {}).get(stand.name)
        sit = replace(sit, way=way, way_out=(ways_out or {}).get(stand.name))
        sits.append(replace(sit, why=tuple(_reasons(base, sit, moment))))

    return in_order(sits, needs_way=ways is not None)


def in_order(sits: Sequence[Sit], *, needs_way: bool) -> tuple[Sit, ...]:
    """Return sits, best first: quiet ways in, then worth to 1 of 100 trips, then few others.

    ``needs_way`` puts sits without a quiet way in behind those with one.
    """

    def order(sit: Sit) -> tuple[bool, float, float, float]:
        is_quiet = not needs_way or (sit.way is not None and sit.way.is_quiet)
        return not is_quiet, -round(sit.worth, 2), round(sit.others, 2), -sit.worth

    return tuple(sorted(sits, key=order))


def _reasons(base: StandBase, sit: Sit, moment: Moment) -> list[str]:
    """Return why a sit stands where it does."""
    low, high = 100 * sit.light_low, 100 * sit.light_high
    event = "sunset" if moment.half is Half.EVENING else "sunrise"
    words = [
        f"{said_share(sit.passing.light_share)} trips come within"
        f" {said_length(base.settings.scrapes.reach_m)} in legal light ({low:.0f} under heavy to"
        f" {high:.0f} under light pressure, before your cameras say otherwise)."
    ]
    if math.isfinite(sit.passing.median_min):
        minutes = sit.passing.median_min
        side = "after" if minutes >= 0 else "before"
        words.append(f"The middle one comes {abs(minutes):.0f} minutes {side} {event}.")
    left = sit.passing.light_share - sit.alerted
    words.append(
        f"Of these, {100 * sit.alerted_part:.0f} of 100 cross your scent first ({sit.air.words});"
        f" {said_share(left)} trips come unwarned."
    )
    if sit.others >= _FEW_OTHERS:
        words.append(
            f"{said_share(sit.others)} others, which would not have come within reach, smell you in"
            " legal light: no loss tonight, but they learn."
        )
    if sit.rest < 0.995:
        words.append(f"Hunted lately: {100 * sit.rest:.0f} % of its worth is left (judgement).")
    if moment.half in sit.stand.sun_in_eyes:
        words.append("The low sun stands behind a scrape.")
    if sit.way is not None:
        words.append(f"In: {sit.way.words}")
    if sit.way_out is not None:
        words.append(f"Out: {sit.way_out.words}")
    return words
