"""Legal light, and when trips pass a place."""

from funnelfinder.daylight.clock import Clock, Half, clock_of, legal_light
from funnelfinder.daylight.in_light import in_light
from funnelfinder.daylight.passing import (
    Passing,
    PassingMap,
    daylight_passage_per_m,
    passing,
    passing_map,
)

__all__ = [
    "Clock",
    "Half",
    "Passing",
    "PassingMap",
    "clock_of",
    "daylight_passage_per_m",
    "in_light",
    "legal_light",
    "passing",
    "passing_map",
]
