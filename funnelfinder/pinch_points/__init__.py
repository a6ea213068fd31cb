"""Where the ground narrows trips, and why."""

from funnelfinder.pinch_points.find import find_pinch_points, squeezes, tight_places
from funnelfinder.pinch_points.point import PinchPoint
from funnelfinder.pinch_points.strands import (
    Strands,
    effective_width_m,
    even_widths_m,
    strands,
)

__all__ = [
    "PinchPoint",
    "Strands",
    "effective_width_m",
    "even_widths_m",
    "find_pinch_points",
    "squeezes",
    "strands",
    "tight_places",
]
