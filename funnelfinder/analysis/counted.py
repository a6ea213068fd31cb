"""Which trips spots are chosen by: all of them, or the part that passes in legal light."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Final

from funnelfinder.daylight import Clock, Half, clock_of, in_light
from funnelfinder.defaults import Counted
from funnelfinder.ground import Ground
from funnelfinder.marks import Property
from funnelfinder.season import Phase
from funnelfinder.sun import SunDay
from funnelfinder.trips import DrawnTrips

#: Trips pass near one end of the day, so that its length does not matter: any date does.
_ANY_DAY: Final = date(2000, 11, 1)
_RISE, _SET, _TWILIGHT = time(6), time(18), timedelta(minutes=25)


def counted_trips(place: Property, drawn: DrawnTrips, ground: Ground, *, seed: int) -> DrawnTrips:
    """Return the trips that spots are chosen by and that their shares count.

    Parameters
    ----------
    place : Property
        Its settings say which; its phase of the season says when deer leave their beds.
    drawn : DrawnTrips
        Whole trips.
    ground : Ground
        Where the open is, before which deer wait.
    seed : int
        The same seed gives the same trips.
    """
    if place.settings.scrapes.trips_counted is Counted.ALL:
        return drawn
    return in_light(drawn, clocks_of(place), ground.grid, ground.is_open, seed=seed)


def clocks_of(place: Property) -> tuple[Clock, ...]:
    """Return when trips pass in the evening and in the morning, on a day of the place's phase."""
    settings = place.settings
    return tuple(
        clock_of(
            half,
            _any_day(),
            settings.daylight,
            settings.cost.pressure,
            phase=Phase(place.season.phase) if place.season.phase else None,
        )
        for half in Half
    )


def _any_day() -> SunDay:
    """Return a day of twelve hours."""
    rise, set_ = (datetime.combine(_ANY_DAY, at, UTC) for at in (_RISE, _SET))
    return SunDay(
        on=_ANY_DAY, dawn=rise - _TWILIGHT, sunrise=rise, sunset=set_, dusk=set_ + _TWILIGHT
    )
