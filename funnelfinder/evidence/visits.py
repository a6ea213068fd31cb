"""Camera records as deer visits a night, and the share of them by day, by the sun's time.

References
----------
.. [1] T. G. O'Brien, M. F. Kinnaird and H. T. Wibisono, Anim. Conserv. 6, 131-139, 2003: records
   of one kind at least 30 minutes apart are visits of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from typing import Final, NamedTuple

from funnelfinder.daylight import Half, legal_light
from funnelfinder.defaults import DaylightSettings
from funnelfinder.evidence.rates import rate_interval, share_interval
from funnelfinder.evidence.records import CameraLog, CameraStay, Deer, read_time
from funnelfinder.sun import SunDay, sun_day

#: Least time between two visits (O'Brien et al. 2003); 60 minutes are common too.
APART_MIN: Final = 30.0
#: Stays this near to each other are one camera place (judgement): they share its luck [m].
SAME_PLACE_M: Final = 15.0
_MOST_TELLING: Final = tuple(Deer)


class Interval(NamedTuple):
    """A figure with the ends of the middle 95 of 100."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTime:
    """A time by the sun.

    ``minutes`` are after sunrise in the morning and after sunset in the evening, negative before;
    ``is_light`` says whether legal light holds.
    """

    half: Half
    minutes: float
    is_light: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class DeerVisit:
    """One visit of deer: when it began, its most telling deer, and when that was by the sun."""

    at: datetime
    deer: Deer
    sun: SunTime


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceVisits:
    """What was recorded at one camera place.

    Parameters
    ----------
    name : str
        The cameras that hung there.
    x_m, y_m : float
        Where [m].
    nights : float
        Camera-nights of all of them.
    last : datetime
        Until when its records reach.
    visits : tuple of DeerVisit
        In order of time.
    rate : Interval
        Deer visits a night.
    light : Interval
        Share of the visits in legal light.
    """

    name: str
    x_m: float
    y_m: float
    nights: float
    last: datetime
    visits: tuple[DeerVisit, ...]
    rate: Interval
    light: Interval

    @property
    def n_light(self) -> int:
        """Number of visits in legal light."""
        return sum(visit.sun.is_light for visit in self.visits)


class SunClock:
    """The sun's times at one place, each date reckoned once.

    Parameters
    ----------
    lat_deg, lon_deg : float
        Where [deg].
    zone : tzinfo
        The place's clock.
    settings : DaylightSettings
        When legal light begins and ends.
    """

    def __init__(
        self, lat_deg: float, lon_deg: float, zone: tzinfo, settings: DaylightSettings
    ) -> None:
        self.zone = zone
        self._place = lat_deg, lon_deg
        self._settings = settings
        self._days: dict[date, SunDay] = {}

    def day(self, on: date) -> SunDay:
        """Return the sun's times on a date."""
        if on not in self._days:
            self._days[on] = sun_day(*self._place, on, self.zone)
        return self._days[on]

    def time_of(self, at: datetime) -> SunTime:
        """Return a time by the sun: the half of the day is parted at the sun's noon."""
        local = at.astimezone(self.zone)
        day = self.day(local.date())
        is_morning = local < day.sunrise + (day.sunset - day.sunrise) / 2
        edge = day.sunrise if is_morning else day.sunset
        begin, end = legal_light(day, self._settings)
        return SunTime(
            half=Half.MORNING if is_morning else Half.EVENING,
            minutes=(local - edge) / timedelta(minutes=1),
            is_light=begin <= local <= end,
        )


def visits_of(times: Sequence[datetime], apart_min: float = APART_MIN) -> tuple[datetime, ...]:
    """Return when visits began: records at least so long after the record before, in order.

    Examples
    --------
    >>> at = [datetime(2026, 11, 1, 7, minute) for minute in (0, 20, 45)]
    >>> [one.minute for one in visits_of([*at, datetime(2026, 11, 1, 8, 15)])]
    [0, 15]
    """
    least = timedelta(minutes=apart_min)
    return tuple(time for k, time in enumerate(times) if k == 0 or time - times[k - 1] >= least)


def places_of(
    log: CameraLog, clock: SunClock, *, apart_min: float = APART_MIN
) -> tuple[PlaceVisits, ...]:
    """Return what was recorded at each camera place, in the order in which they were first used.

    Parameters
    ----------
    log : CameraLog
        Stays and sightings.
    clock : SunClock
        The sun's times at the property.
    apart_min : float
        Records nearer in time than this to the one before belong to the same visit [min].
    """
    groups: list[list[CameraStay]] = []
    for stay in log.stays:
        near = (
            group
            for group in groups
            if math.dist((group[0].x_m, group[0].y_m), (stay.x_m, stay.y_m)) <= SAME_PLACE_M
        )
        group = next(near, None)
        if group is None:
            groups.append([stay])
        else:
            group.append(stay)
    return tuple(_place(log, group, clock, apart_min) for group in groups)


def _place(
    log: CameraLog, stays: Sequence[CameraStay], clock: SunClock, apart_min: float
) -> PlaceVisits:
    """Return what the cameras of one place recorded."""
    nights = sum(stay.nights for stay in stays)
    visits = tuple(_visits(log, {stay.key for stay in stays}, clock, apart_min))
    n_light = sum(visit.sun.is_light for visit in visits)
    return PlaceVisits(
        name=", ".join(dict.fromkeys(stay.name for stay in stays)),
        x_m=stays[0].x_m,
        y_m=stays[0].y_m,
        nights=nights,
        last=max(read_time(stay.ended) for stay in stays),
        visits=visits,
        rate=Interval(*rate_interval(len(visits), nights)),
        light=Interval(*share_interval(n_light, len(visits))),
    )


def _visits(
    log: CameraLog, keys: set[str], clock: SunClock, apart_min: float
) -> Iterator[DeerVisit]:
    """Yield the visits of some stays; a visit is as telling as the best of its records."""
    records = sorted(
        ((read_time(one.at), one.deer) for one in log.sightings if one.stay in keys),
        key=lambda record: record[0],
    )
    begins = set(visits_of([at for at, _ in records], apart_min))
    at: datetime | None = None
    seen: list[Deer] = []
    for time, deer in records:
        if time in begins and time != at:
            if at is not None:
                yield _visit(at, seen, clock)
            at, seen = time, []
        seen.append(deer)
    if at is not None:
        yield _visit(at, seen, clock)


def _visit(at: datetime, seen: Sequence[Deer], clock: SunClock) -> DeerVisit:
    """Return a visit that began at a time."""
    deer = min(seen, key=_MOST_TELLING.index)
    return DeerVisit(at=at.astimezone(clock.zone), deer=deer, sun=clock.time_of(at))
