"""How numbers are written for the person: positions, bearings, clock, sizes."""

from __future__ import annotations

from datetime import date, datetime
from typing import Final

import mgrs
import numpy as np

from funnelfinder.declination import lon_lat_deg
from funnelfinder.units import FOOT_M, UnitSystem, said_length

#: The forms of a position that a person can choose, and what they are called.
POSITION_FORMS: Final[dict[str, str]] = {
    "utm": "UTM",
    "mgrs": "MGRS",
    "degrees": "degrees",
    "minutes": "degrees and minutes",
}
_THOUSANDTHS = 60_000


def said_position(x_m: float, y_m: float, epsg: int, form: str) -> str:
    """Return a position in the person's form.

    Parameters
    ----------
    x_m, y_m : float
        Where, in the UTM zone [m].
    epsg : int
        Code of the zone (326xx north, 327xx south).
    form : str
        One of `POSITION_FORMS`.

    Examples
    --------
    >>> said_position(281446, 4143208, 32617, "utm")
    '17N 281446 E 4143208 N'
    >>> said_position(444140.54, 3684706.36, 32638, "minutes")
    'N 33° 18.000′ E 44° 24.000′'
    """
    if form == "utm":
        side = "N" if epsg // 100 == 326 else "S"
        return f"{epsg % 100}{side} {x_m:.0f} E {y_m:.0f} N"
    lon, lat = lon_lat_deg(np.array([[x_m, y_m]]), epsg)[0]
    if form == "mgrs":
        text = mgrs.MGRS().toMGRS(lat, lon)
        return f"{text[:-10]} {text[-10:-5]} {text[-5:]}"
    if form == "minutes":
        return f"{_minutes(lat, 'NS')} {_minutes(lon, 'EW')}"
    return f"{'S' if lat < 0 else 'N'} {abs(lat):.5f}° {'W' if lon < 0 else 'E'} {abs(lon):.5f}°"


def _minutes(degrees: float, letters: str) -> str:
    """Return degrees and minutes to a thousandth, carried over where they round up."""
    whole, thousandths = divmod(round(abs(degrees) * _THOUSANDTHS), _THOUSANDTHS)
    return f"{letters[int(degrees < 0)]} {whole}° {thousandths / 1000:06.3f}′"


def said_day(when: datetime, now: datetime) -> str:
    """Return the day as people say it.

    Examples
    --------
    >>> said_day(datetime(2026, 11, 3), datetime(2026, 11, 4))
    'yesterday'
    """
    days = (now.date() - when.date()).days
    if days <= 0:
        return "today"
    if days == 1:
        return "yesterday"
    if days < 7:
        return f"{when:%A}"
    return f"{when.day} {when:%B %Y}"


def said_bearing(degrees: float) -> str:
    """Return a bearing in whole degrees, 0 to 359.

    Examples
    --------
    >>> said_bearing(359.7)
    '0°'
    """
    return f"{round(degrees) % 360}°"


def system(units: str) -> UnitSystem:
    """Return the unit system of the person's choice."""
    return UnitSystem(units)


def said_count(number: int, one: str, many: str = "") -> str:
    """Return a count with its thing.

    Examples
    --------
    >>> said_count(1, "bed"), said_count(3, "bed")
    ('1 bed', '3 beds')
    """
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def said_spacing(cell_m: float, units: UnitSystem) -> str:
    """Return the distance between the values of a grid as people say it.

    Examples
    --------
    >>> said_spacing(1.0, UnitSystem.YARDS), said_spacing(30.0, UnitSystem.YARDS)
    ('3 feet', '33 yards')
    """
    if units is UnitSystem.YARDS and cell_m < 3.0:
        return f"{cell_m / FOOT_M:.0f} feet"
    return said_length(cell_m, units)


def said_date(iso: str) -> str:
    """Return a day that a file keeps as people say it; what is no day stays as it is.

    Examples
    --------
    >>> said_date("2026-11-05")
    '5 November 2026'
    """
    try:
        day = date.fromisoformat(iso)
    except ValueError:
        return iso
    return f"{day.day} {day:%B %Y}"
