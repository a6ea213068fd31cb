"""When the sun rises and sets, and where it stands.

A library asked for sunset by date may answer with a neighbouring day's, a minute or two off, where
the UTC day ends in the evening. So only the sun's height is asked of it, and the moment is sought
at which it passes the horizon within half a day of local noon.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta, timezone, tzinfo
from typing import Final
from zoneinfo import ZoneInfo

from astral import Observer
from astral.sun import azimuth, elevation
from scipy.optimize import brentq

from funnelfinder.errors import InputError, SettingError

#: Height of the sun's centre as its upper limb meets a flat horizon, and at civil twilight [deg]
#: (United States Naval Observatory: 34' of refraction and 16' of radius).
_LIMB_DEG: Final = -0.8333
_CIVIL_DEG: Final = -6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SunDay:
    """The sun's times at a place on a date, in the place's own clock time.

    Sunrise and sunset are those of the upper limb on a flat horizon (-0.8333 deg), dawn and dusk
    the civil ones (-6 deg).
    """

    on: date
    dawn: datetime
    sunrise: datetime
    sunset: datetime
    dusk: datetime

    def with_printed(self, rise: time | None, set_: time | None) -> SunDay:
        """Return the day with the times of a printed table, which some agencies round by zone."""
        zone = self.sunrise.tzinfo
        return replace(
            self,
            sunrise=datetime.combine(self.on, rise, zone) if rise else self.sunrise,
            sunset=datetime.combine(self.on, set_, zone) if set_ else self.sunset,
        )


def zone_of(name: str, longitude_deg: float) -> tuple[tzinfo, str]:
    """Return a time zone by its name, and a note where it had to be guessed from the longitude.

    Raises
    ------
    SettingError
        If the zone is unknown.

    Examples
    --------
    >>> zone_of("", -83.0)[1]
    'No time zone is set: UTC-6 is guessed from the longitude, without daylight saving time.'
    """
    if not name:
        hours = round(longitude_deg / 15.0)
        words = f"No time zone is set: UTC{hours:+d} is guessed from the longitude, without"
        return ZoneInfo(f"Etc/GMT{-hours:+d}"), f"{words} daylight saving time."
    try:
        return ZoneInfo(name), ""
    except (KeyError, ValueError, OSError) as error:
        raise SettingError(
            "That time zone is not known.", where=name, remedy="Write it like America/New_York."
        ) from error


def sun_day(latitude_deg: float, longitude_deg: float, on: date, zone: tzinfo) -> SunDay:
    """Return the sun's times at a place on a date.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        Where [deg, WGS 84].
    on : date
        The local date.
    zone : tzinfo
        The place's clock.

    Raises
    ------
    InputError
        Where the sun does not rise or set that day.
    """
    observer = Observer(latitude_deg, longitude_deg)
    solar = timezone(timedelta(minutes=round(4.0 * longitude_deg)))
    noon = datetime.combine(on, time(12), solar)

    def event(height_deg: float, side: int) -> datetime:
        return _crossing(observer, noon, height_deg, side).astimezone(zone)

    return SunDay(
        on=on,
        dawn=event(_CIVIL_DEG, -1),
        sunrise=event(_LIMB_DEG, -1),
        sunset=event(_LIMB_DEG, 1),
        dusk=event(_CIVIL_DEG, 1),
    )


def _crossing(observer: Observer, noon: datetime, height_deg: float, side: int) -> datetime:
    """Return when the sun's centre passes a height within half a day before or after noon."""

    def above(hours: float) -> float:
        at = noon + timedelta(hours=side * hours)
        return float(elevation(observer, at, with_refraction=False)) - height_deg

    if above(0.0) <= 0 or above(12.0) >= 0:
        raise InputError(
            f"The sun does not rise and set there on {noon:%d %B %Y}.",
            where=f"{observer.latitude:.2f} degrees of latitude",
            remedy="Daylight shares need a sunrise and a sunset; choose another date.",
        )
    return noon + timedelta(hours=side * float(brentq(above, 0.0, 12.0, xtol=1e-5)))


def sun_position(latitude_deg: float, longitude_deg: float, at: datetime) -> tuple[float, float]:
    """Return the sun's height over the horizon and its bearing from true north [deg]."""
    observer = Observer(latitude_deg, longitude_deg)
    return float(elevation(observer, at)), float(azimuth(observer, at))
