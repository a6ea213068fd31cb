"""The spots of a plan: clusters with their area, way in, winds to keep off, and cores."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.marks import MarkKind, Property

#: The winds of a plan, by where they come from.
WIND_WORDS: Final = (
    *("north", "northeast", "east", "southeast"),
    *("south", "southwest", "west", "northwest"),
)
#: Beds nearer than this are what the wind must not blow to (judgement: the farthest that a deer
#: is commonly held to smell a person, 500 yards) [m].
_SMELLED_M: Final = 457.2


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One cluster as a plan sees it.

    ``area`` numbers the spots that are worked on one walk; ``way_in`` is the nearest way in;
    ``winds`` names winds that carry a person's scent to a bed; ``core`` is empty unless the spot
    lies in a buck's core; ``crossed`` names beds and cores that the straight way would cross.
    """

    number: int
    name: str
    kind: str
    x_m: float
    y_m: float
    area: int
    way_in: str = ""
    winds: tuple[str, ...] = ()
    core: str = ""
    crossed: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """Number and name."""
        return f"{self.number} {self.name}".strip()


def spots_of(place: Property, findings: Findings) -> tuple[Spot, ...]:
    """Return the spots of a property's clusters, in their order."""
    middles = [shapely.MultiPoint(one.scrapes_m).centroid for one in findings.clusters]
    areas = _areas(middles, place.settings.season.walk_together_m)
    return tuple(
        Spot(
            number=cluster.number,
            name=cluster.name,
            kind=cluster.kind.value,
            x_m=middle.x,
            y_m=middle.y,
            area=area,
            way_in=_way_in(place, middle)[0],
            winds=_winds(place, middle),
            core=_core(place, cluster.scrapes_m),
            crossed=_crossed(place, middle),
        )
        for cluster, middle, area in zip(findings.clusters, middles, areas, strict=True)
    )


def _areas(middles: Sequence[shapely.Point], near_m: float) -> list[int]:
    """Return the number of each spot's area: spots near each other are one."""
    if not middles:
        return []
    grown = shapely.union_all([middle.buffer(near_m / 2) for middle in middles])
    parts = shapely.get_parts(grown)
    found = [next(k for k, part in enumerate(parts) if part.covers(one)) for one in middles]
    order = list(dict.fromkeys(found))
    return [order.index(one) + 1 for one in found]


def _way_in(place: Property, at: shapely.Point) -> tuple[str, shapely.Point | None]:
    """Return the nearest way in: its name and place."""
    ways = [
        (mark.label, point)
        for mark in place.of_kind(MarkKind.WAY_IN)
        for point in shapely.get_parts(mark.geometry)
    ]
    return min(ways, key=lambda one: float(one[1].distance(at)), default=("", None))


def nearest_way_in(
    place: Property, x_m: float, y_m: float
) -> tuple[str, tuple[float, float]] | None:
    """Return name and place [m] of the nearest way in, None where none is marked."""
    name, point = _way_in(place, shapely.Point(x_m, y_m))
    return None if point is None else (name, (point.x, point.y))


def _winds(place: Property, at: shapely.Point) -> tuple[str, ...]:
    """Return the winds, by where they come from, that blow from a spot to a bed near it."""
    found: set[int] = set()
    for bed in place.of_kind(MarkKind.BED, MarkKind.CORE):
        middle = bed.geometry.centroid
        if 0 < bed.geometry.distance(at) <= _SMELLED_M:
            from_deg = math.degrees(math.atan2(at.x - middle.x, at.y - middle.y)) % 360
            found.add(round(from_deg / 45) % 8)
    return tuple(WIND_WORDS[one] for one in sorted(found))


def _core(place: Property, scrapes_m: Sequence[tuple[float, float]]) -> str:
    """Return the core that a cluster lies in, empty if in none."""
    here = shapely.MultiPoint(scrapes_m)
    cores = place.of_kind(MarkKind.CORE)
    return next((core.label for core in cores if core.geometry.intersects(here)), "")


def _crossed(place: Property, at: shapely.Point) -> tuple[str, ...]:
    """Return the beds and cores on the straight line from the nearest way in."""
    _, point = _way_in(place, at)
    if point is None:
        return ()
    line = shapely.LineString([point, at])
    marks = place.of_kind(MarkKind.BED, MarkKind.CORE, MarkKind.KEEP_OFF)
    return tuple(mark.label for mark in marks if mark.geometry.intersects(line))
