"""The air of one hour: wind, how it swings, how it mixes, and whether it drifts on slopes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum, IntEnum
from typing import Final

import numpy as np
from scipy.special import ndtri

from funnelfinder.defaults import WindSettings
from funnelfinder.errors import InputError
from funnelfinder.kernels import FloatArray
from funnelfinder.sun import SunDay
from funnelfinder.wind.stability import SPREAD_DEG, Stability, net_radiation, stability_of

COMPASS: Final = (
    "N NNE NE ENE E ESE SE SSE S SSW SW WSW W WNW NW NNW".split()  # noqa: SIM905 - reads as a rose
)
#: Directions of the wind that are tried, equally likely.
N_TURNS: Final = 24
#: Below this the wind counts as calm (it is the first row of Turner's table) [m/s].
CALM_M_S: Final = 0.75
#: While slope air turns, its direction is unsure (judgement after Nadeau et al. 2013) [deg].
TURNING_SPREAD_DEG: Final = 60.0
#: Drift follows the ground with this spread (judgement) [deg].
DRIFT_SPREAD_DEG: Final = 20.0
_HOUR: Final = timedelta(hours=1)


class Sky(Enum):
    """How much of the sky is covered; the value is what people type."""

    CLEAR = "clear"
    PARTLY = "partly"
    CLOUDY = "cloudy"
    LOW = "low"

    @property
    def tenths(self) -> float:
        """Cloud in tenths."""
        return {"clear": 1.0, "partly": 5.0, "cloudy": 8.0, "low": 10.0}[self.value]


class Sense(IntEnum):
    """Which way air drifts on slopes: down, not at all, up, or turning."""

    DOWN = -1
    NONE = 0
    UP = 1
    TURNING = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """The air of one hour.

    Parameters
    ----------
    from_deg : float
        Where the wind comes from [deg clockwise from true north]; NaN where it varies.
    speed_m_s : float
        Its speed [m/s].
    stability : Stability
        How it mixes.
    spread_deg : float
        Standard deviation of its direction [deg]; infinite where every direction is as likely.
    sense : Sense
        Drift on slopes.
    """

    from_deg: float
    speed_m_s: float
    stability: Stability
    spread_deg: float
    sense: Sense

    @property
    def turns_rad(self) -> FloatArray:
        """Equally likely turns from the mean direction, anticlockwise [rad]."""
        places = (np.arange(N_TURNS) + 0.5) / N_TURNS
        if math.isinf(self.spread_deg):
            return 2.0 * np.pi * places
        turns = np.clip(self.spread_deg * ndtri(places), -180.0, 180.0)
        return np.asarray(np.radians(turns))

    @property
    def words(self) -> str:
        """The air in words."""
        kind = "variable wind" if math.isnan(self.from_deg) else f"{said_compass(self.from_deg)}"
        speed = f"{kind} at {self.speed_m_s / 0.44704:.0f} mph"
        if self.speed_m_s < CALM_M_S:
            speed = "calm"
        drift = {
            Sense.DOWN: ", cold air draining downhill",
            Sense.UP: ", warmed air climbing uphill",
            Sense.TURNING: ", slope air turning: direction unsure",
        }.get(self.sense, "")
        unsure = ", every direction as likely" if math.isinf(self.spread_deg) else ""
        return f"{speed}{unsure}{drift}"


def compass_deg(text: str) -> float:
    """Return the direction of a compass word or number [deg], NaN for calm or variable.

    Raises
    ------
    InputError
        If it is neither.

    Examples
    --------
    >>> compass_deg("nw"), compass_deg("200")
    (315.0, 200.0)
    """
    word = text.strip().upper()
    if word in ("VAR", "VARIABLE", "CALM", "VRB"):
        return math.nan
    if word in COMPASS:
        return COMPASS.index(word) * 22.5
    try:
        value = float(word)
    except ValueError:
        value = math.inf
    if not 0 <= value <= 360:
        raise InputError(
            "It is no wind direction.",
            where=text,
            remedy="Write where the wind comes from, like NW or 315, or variable.",
        )
    return value % 360.0


def said_compass(deg: float) -> str:
    """Return a direction as one of 16 compass words.

    Examples
    --------
    >>> said_compass(350.0)
    'N'
    """
    return COMPASS[round(deg / 22.5) % 16]


def drift_sense(
    at: datetime, day: SunDay, *, speed_m_s: float, sky: Sky, settings: WindSettings
) -> Sense:
    """Return which way air drifts on slopes: down from about sunset to sunrise, up by day.

    It takes weak wind and little cloud. The turn is put from an hour to half an hour before
    sunset and from half an hour to an hour after sunrise (judgement after NWCG PMS 437).
    """
    if speed_m_s >= settings.drift_wind_m_s or sky.tenths > settings.drift_cloud_tenths:
        return Sense.NONE
    if at < day.sunrise + _HOUR / 2 or at > day.sunset - _HOUR / 2:
        return Sense.DOWN
    if at < day.sunrise + _HOUR or at > day.sunset - _HOUR:
        return Sense.TURNING
    return Sense.UP


def air_at(
    at: datetime,
    day: SunDay,
    sun_deg: float,
    *,
    from_deg: float,
    speed_m_s: float,
    sky: Sky = Sky.CLEAR,
    settings: WindSettings,
    spread_deg: float = 0.0,
) -> Air:
    """Return the air at a moment.

    Parameters
    ----------
    at : datetime
        The moment.
    day : SunDay
        The sun's times that day.
    sun_deg : float
        Height of the sun then [deg].
    from_deg : float
        Where the wind comes from [deg]; NaN where it varies.
    speed_m_s : float
        Speed of the wind [m/s].
    sky : Sky
        Cloud.
    settings : WindSettings
        Least spread and drift.
    spread_deg : float
        Spread of the direction that the person knows of [deg].

    Raises
    ------
    InputError
        If the speed is no number from 0 to 40 m/s.
    """
    if not 0 <= speed_m_s <= 40:
        raise InputError("The wind's speed is not between 0 and 40 m/s.", where=f"{speed_m_s:g}")
    is_night = at < day.sunrise + _HOUR or at > day.sunset - _HOUR
    index = net_radiation(sun_deg, sky.tenths, is_night=is_night, is_low=sky is Sky.LOW)
    stability = stability_of(speed_m_s, index)
    sense = drift_sense(at, day, speed_m_s=speed_m_s, sky=sky, settings=settings)
    spread = max(SPREAD_DEG[stability], settings.least_spread_deg, spread_deg)
    if sense is Sense.TURNING:
        spread = max(spread, TURNING_SPREAD_DEG)
    if math.isnan(from_deg) or speed_m_s < CALM_M_S:
        # A calm that drains has a direction, the slope's; any other has none.
        drains = speed_m_s < CALM_M_S and sense in (Sense.DOWN, Sense.UP)
        spread = max(DRIFT_SPREAD_DEG, spread_deg) if drains else math.inf
    return Air(
        from_deg=from_deg,
        speed_m_s=speed_m_s,
        stability=stability,
        spread_deg=spread,
        sense=sense,
    )
