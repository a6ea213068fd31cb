"""Units that people read, and how lengths and areas are said in words.

The program computes in metres; only what people read is in yards, feet, acres and miles. The
international yard and foot are exact by definition (0.9144 m, 0.3048 m; National Bureau of
Standards, Federal Register 24 FR 5348, 1959).
"""

from __future__ import annotations

from datetime import datetime, time
from enum import Enum
from typing import Final

YARD_M: Final = 0.9144
FOOT_M: Final = 0.3048
US_SURVEY_FOOT_M: Final = 1200 / 3937
MILE_M: Final = 1609.344
ACRE_M2: Final = 4046.8564224
HECTARE_M2: Final = 10_000.0


class UnitSystem(Enum):
    """Which units a person reads."""

    YARDS = "yards"
    METRIC = "metric"


def yards(length_m: float) -> float:
    """Return a length in yards.

    Examples
    --------
    >>> yards(91.44)
    100.0
    """
    return length_m / YARD_M


def acres(area_m2: float) -> float:
    """Return an area in international acres.

    Examples
    --------
    >>> round(acres(402.336**2), 6)
    40.0
    """
    return area_m2 / ACRE_M2


def said_length(length_m: float, system: UnitSystem = UnitSystem.YARDS) -> str:
    """Return a length as people say it: yards, or miles from 2 miles on.

    Examples
    --------
    >>> said_length(91.44)
    '100 yards'
    >>> said_length(8046.72)
    '5.0 miles'
    >>> said_length(91.44, UnitSystem.METRIC)
    '91 m'
    """
    if system is UnitSystem.METRIC:
        return f"{length_m:,.0f} m" if length_m < 3000 else f"{length_m / 1000:,.1f} km"
    if length_m >= 2 * MILE_M:
        return f"{length_m / MILE_M:,.1f} miles"
    count = round(length_m / YARD_M)
    return f"{count:,} yard" + ("" if count == 1 else "s")


def said_height(height_m: float, system: UnitSystem = UnitSystem.YARDS) -> str:
    """Return a height as people say it.

    Examples
    --------
    >>> said_height(30.48)
    '100 feet'
    """
    if system is UnitSystem.METRIC:
        return f"{height_m:,.0f} m"
    return f"{height_m / FOOT_M:,.0f} feet"


def said_area(area_m2: float, system: UnitSystem = UnitSystem.YARDS) -> str:
    """Return an area as people say it.

    Examples
    --------
    >>> said_area(1_214_056.92672)
    '300 acres'
    """
    if system is UnitSystem.METRIC:
        return f"{area_m2 / HECTARE_M2:,.1f} ha"
    area = area_m2 / ACRE_M2
    return f"{area:,.0f} acres" if area >= 10 else f"{area:,.1f} acres"


def said_share(share: float) -> str:
    """Return a share of the trips as people say it.

    Examples
    --------
    >>> said_share(0.186)
    '19 of 100'
    """
    return f"{100 * share:.0f} of 100"


def said_clock(when: datetime | time) -> str:
    """Return the time of day.

    Examples
    --------
    >>> said_clock(datetime(2026, 11, 3, 20, 41))
    '8:41 pm'
    """
    return f"{(when.hour - 1) % 12 + 1}:{when.minute:02d} {'am' if when.hour < 12 else 'pm'}"
