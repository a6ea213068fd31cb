"""Legal light, and when trips pass a place."""

from funnelfinder.daylight.clock import Clock, Half, clock_of, legal_light
from funnelfinder.daylight.in_light import in_light
from funnelfinder.daylight.passing import Passing, daylight_passage_per_m, passing

__all__ = [
    "Clock",
    "Half",
    "Passing",
    "clock_of",
    "daylight_passage_per_m",
    "in_light",
    "legal_light",
    "passing",
]
