"""When trips pass a place after so many metres, and which share of them in legal light."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum

import numpy as np
from scipy.special import ndtr

from funnelfinder.defaults import DaylightSettings, Pressure
from funnelfinder.kernels import FloatArray
from funnelfinder.season import Phase
from funnelfinder.sun import SunDay


class Half(Enum):
    """Which end of the day."""

    EVENING = "evening"
    MORNING = "morning"


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """Times in minutes after sunset (evening) or after sunrise (morning).

    Parameters
    ----------
    half : Half
        Evening or morning.
    bed_min, spread_min : float
        When deer leave the bed, or come to it: mean and standard deviation [min].
    pace_m_min : float
        Pace with pauses [m/min].
    wait_min : float
        Wait in the last cover before open ground, in the evening [min].
    light_min : (float, float)
        Begin and end of legal light [min].
    """

    half: Half
    bed_min: float
    spread_min: float
    pace_m_min: float
    wait_min: float
    light_min: tuple[float, float]

    def passes_min(self, walked_m: FloatArray, steps_out: FloatArray | float = 0.0) -> FloatArray:
        """Return when the mean trip passes a place.

        Parameters
        ----------
        walked_m : float64 array
            Length between bed and place [m].
        steps_out : float64 array
            1 where trips have stepped into the open before, 0 where not.
        """
        minutes = np.asarray(walked_m, dtype=np.float64) / self.pace_m_min
        if self.half is Half.MORNING:
            return np.asarray(self.bed_min - minutes)
        return np.asarray(self.bed_min + minutes + self.wait_min * np.asarray(steps_out))

    def light_share(self, walked_m: FloatArray, steps_out: FloatArray | float = 0.0) -> FloatArray:
        """Return the share of trips that pass a place in legal light (normal, closed form)."""
        mean = self.passes_min(walked_m, steps_out)
        begin, end = ((edge - mean) / self.spread_min for edge in self.light_min)
        return np.asarray(ndtr(end) - ndtr(begin))


def legal_light(day: SunDay, settings: DaylightSettings) -> tuple[datetime, datetime]:
    """Return when legal light begins and ends; local law decides."""
    return (
        day.sunrise - timedelta(minutes=settings.legal_before_min),
        day.sunset + timedelta(minutes=settings.legal_after_min),
    )


def clock_of(
    half: Half,
    day: SunDay,
    settings: DaylightSettings,
    pressure: Pressure,
    *,
    phase: Phase | None = None,
) -> Clock:
    """Return when trips pass, under a pressure, in a phase of the season.

    Parameters
    ----------
    half : Half
        Evening or morning; the morning mirrors the evening about sunrise.
    day : SunDay
        The sun's times.
    settings : DaylightSettings
        Offsets, spreads, pace, legal light.
    pressure : Pressure
        How hard the ground is hunted.
    phase : Phase, optional
        Part of the season; where it is not known, the usual times outside the rut count.
    """
    word = pressure.value
    earlier, wider, faster = 0.0, 0.0, 1.0
    if phase is not None:
        name = phase.name.lower()
        earlier = getattr(settings, f"earlier_{name}_min")
        wider = getattr(settings, f"wider_{name}_min")
        faster = getattr(settings, f"faster_{name}")
    leave = getattr(settings, f"leave_{word}_min") - earlier
    spread = getattr(settings, f"spread_{word}_min") + wider
    edge = day.sunset if half is Half.EVENING else day.sunrise
    begin, end = ((moment - edge).total_seconds() / 60 for moment in legal_light(day, settings))
    return Clock(
        half=half,
        bed_min=leave if half is Half.EVENING else -leave,
        spread_min=spread,
        pace_m_min=settings.pace_m_min * faster,
        wait_min=getattr(settings, f"wait_{word}_min"),
        light_min=(begin, end),
    )
