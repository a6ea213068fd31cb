"""Hourly forecasts of the public US weather service, as the JSON that it hands out.

References
----------
.. [1] National Weather Service, API Web Service, https://api.weather.gov/openapi.json: schemas
   GridpointHourlyForecast (``periods``) and GridpointHourlyForecastPeriod (``startTime``,
   ``windSpeed`` as text or as a quantity, ``windDirection``, ``shortForecast``).
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from funnelfinder.errors import InputError, RecordError
from funnelfinder.units import MILE_M
from funnelfinder.wind import Sky, compass_deg

_UNITS: Final = {"mph": MILE_M / 3600, "km/h": 1 / 3.6, "kt": 1852 / 3600, "m/s": 1.0}
#: Units of quantities, after the colon (WMO codes registry, common/unit).
_UNIT_CODES: Final = {"km_h-1": 1 / 3.6, "m_s-1": 1.0}
#: Words of a short forecast under which the sky hangs low.
_WET: Final = ("rain", "snow", "shower", "drizzle", "fog", "sleet", "thunder")
_WORST: Final = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """One hour: its start, the wind (NaN where it varies) [deg], [m/s], and the sky."""

    start: datetime
    from_deg: float
    speed_m_s: float
    sky: Sky
    words: str


def read_forecast(path: Path | str) -> tuple[Hour, ...]:
    """Return the hours of a forecast file.

    Raises
    ------
    RecordError
        If it cannot be read or holds no hours.
    """
    file = Path(path)
    try:
        whole = json.loads(file.read_text(encoding="utf-8"))
        # As GeoJSON the hours lie under the feature's properties, as JSON-LD at the top.
        hours = tuple(_hour(one) for one in whole.get("properties", whole)["periods"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError, InputError) as error:
        raise RecordError(
            "It is no hourly forecast of the public US weather service.",
            where=str(file),
            remedy="Save the JSON of an hourly forecast, or type the wind with --wind and --speed.",
        ) from error
    if not hours:
        raise RecordError("The forecast holds no hours.", where=str(file))
    return hours


def _hour(period: Any) -> Hour:
    """Return one hour of the forecast."""
    start = datetime.fromisoformat(period["startTime"])
    if start.tzinfo is None:
        raise ValueError("The time has no zone.")
    speed = _speed_m_s(period["windSpeed"])
    word = str(period.get("windDirection") or "")
    words = str(period.get("shortForecast") or "")
    return Hour(
        start=start,
        from_deg=compass_deg(word) if word and speed > 0 else math.nan,
        speed_m_s=speed,
        sky=_sky(words.lower()),
        words=words,
    )


def _speed_m_s(given: Any) -> float:
    """Return a speed, given as "5 to 10 mph" or as a quantity with its unit [m/s]."""
    if isinstance(given, dict):
        parts = [given.get(name) for name in ("value", "minValue", "maxValue")]
        numbers = [float(one) for one in parts if one is not None]
        code = str(given["unitCode"]).rpartition(":")[2]
        return sum(numbers) / len(numbers) * _UNIT_CODES[code] if numbers else 0.0
    numbers = [float(one) for one in re.findall(r"\d+(?:\.\d+)?", str(given))]
    unit = next((one for one in _UNITS if one in str(given).lower()), "mph")
    return sum(numbers) / len(numbers) * _UNITS[unit] if numbers else 0.0


def _sky(words: str) -> Sky:
    """Return the sky that a short forecast tells of."""
    if any(
        one in words for one in ("rain", "snow", "shower", "drizzle", "fog", "sleet", "thunder")
    ):
        return Sky.LOW
    if "partly" in words:
        return Sky.PARTLY
    if "mostly cloudy" in words or "cloudy" in words or "overcast" in words:
        return Sky.CLOUDY
    return Sky.CLEAR


def hour_at(hours: tuple[Hour, ...], at: datetime, where: str) -> Hour:
    """Return the hour that holds a moment.

    Raises
    ------
    RecordError
        If the forecast does not reach it.
    """
    for hour in hours:
        if hour.start <= at < hour.start + _WORST:
            return hour
    raise RecordError(
        f"The forecast does not hold {at:%d %B, %H:%M}; it runs from"
        f" {hours[0].start:%d %B, %H:%M} to {hours[-1].start:%d %B, %H:%M}.",
        where=where,
        remedy="Fetch a newer one, or type the wind with --wind and --speed.",
    )
