"""What the rule says: yards, bearings true and magnetic, acres."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import pairwise

from funnelfinder.declination import ground_area_m2, leg
from funnelfinder.units import UnitSystem, said_area, said_length

from .gestures import Point


def said_measures(
    points: tuple[Point, ...],
    epsg: int,
    units: UnitSystem,
    said_bearing: Callable[[float], str],
    *,
    is_closed: bool = False,
    on: date | None = None,
) -> str:
    """Return the measures of a line of points, a line of words for each.

    Parameters
    ----------
    points : tuple of (x_m, y_m)
        The points, the loose end included.
    epsg : int
        Code of the UTM zone.
    units : UnitSystem
        What the person reads.
    said_bearing : callable
        Writes a bearing.
    is_closed : bool
        Whether the last point closes on the first.
    on : date, optional
        The day of the magnetic bearing; today by default.
    """
    day = on or date.today()
    if is_closed:
        round_m = sum(leg(a, b, epsg, day).length_m for a, b in pairwise([*points, points[0]]))
        area = said_area(ground_area_m2(points, epsg), units)
        return f"{area}\n{said_length(round_m, units)} round"
    legs = [leg(a, b, epsg, day) for a, b in pairwise(points) if a != b]
    if not legs:
        return ""
    last = legs[-1]
    bearing = f"{said_bearing(last.true_deg)} true, {said_bearing(last.magnetic_deg)} magnetic"
    words = f"{said_length(last.length_m, units)}\n{bearing}"
    if len(legs) > 1:
        whole = said_length(sum(one.length_m for one in legs), units)
        words += f"\n{whole} in all"
    return words
