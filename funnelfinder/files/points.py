"""What every point format shares: what goes into one file, and how numbers are written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shapely.geometry import MultiPolygon

from funnelfinder import __version__
from funnelfinder.waypoints import Waypoint

CREATOR: Final = f"funnelfinder {__version__}"


@dataclass(frozen=True, slots=True, kw_only=True)
class PointsFile:
    """What is written to one file.

    ``boundary`` is in degrees (WGS 84), outer rings counter-clockwise, holes clockwise.
    """

    property_name: str
    points: tuple[Waypoint, ...]
    boundary: MultiPolygon


def said_number(value: float | None) -> str:
    """Return a number so that it reads back equal; empty where it is not known.

    Examples
    --------
    >>> said_number(0.19), said_number(None), said_number(-0.00001)
    ('0.19', '', '-0.00001')
    """
    if value is None:
        return ""
    text = repr(float(value))
    return f"{value:.10f}".rstrip("0") if "e" in text else text
