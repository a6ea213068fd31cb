"""A small property ready for stands, made once for all tests of them."""

from __future__ import annotations

from datetime import date
from functools import cache
from zoneinfo import ZoneInfo

from funnelfinder.analysis import Findings, Workings, run
from funnelfinder.analysis.sitting import property_day, sitting_base
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.stands import Stand, StandBase, find_stands
from funnelfinder.sun import sun_day
from tests.analysis.small import small_property

ON = date(2026, 11, 8)
DAY = sun_day(38.8, -82.2, ON, ZoneInfo("America/New_York"))


@cache
def found() -> tuple[Property, Findings, StandBase]:
    """The property, its findings, and what stands are judged on."""
    place, grids = small_property()
    work = Workings()
    findings = run(place, grids, n_redraws=0, workings=work)
    day, _ = property_day(place, ON)
    return place, findings, sitting_base(place, grids, findings, day, workings=work)


def base_of(place: Property, grids: Grids) -> StandBase:
    """What stands of another property are judged on."""
    work = Workings()
    findings = run(place, grids, n_redraws=0, workings=work)
    day, _ = property_day(place, ON)
    return sitting_base(place, grids, findings, day, workings=work)


@cache
def stands() -> tuple[Stand, ...]:
    """Its stands."""
    _, findings, base = found()
    return find_stands(base, findings.clusters)
