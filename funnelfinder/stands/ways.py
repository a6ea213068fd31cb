"""Ways in and out: the best walk that keeps off beds, out of sight, out of the trips' way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Protocol

import numpy as np
import shapely

from funnelfinder.errors import NoWayError
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Mark
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.hours import crossed, stepping_out_m, walk_at
from funnelfinder.stands.walking import CLIMB_M_MIN, WayGround
from funnelfinder.travel_network import Path, cost_distance
from funnelfinder.travel_network.paths import path_of
from funnelfinder.units import said_clock, said_height, said_length, said_share

#: A quiet way is seen or smelt on no more of its length than this (judgement) [share].
_LOUD_SHARE: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One walk between a way in and a stand.

    Parameters
    ----------
    start : str
        The way in.
    points_m : (n, 2) float64
        The walk, from the way in to the stand [m].
    length_m, climb_m, minutes, cost_m : float
        Its length [m], climb [m], time [min], and cost [m of best ground].
    at_min : float
        When it is walked [min after sunset or sunrise].
    to_bed_m, bed : float, str
        Nearest approach to a bed [m], and which.
    crossed_share, to_come_share : float
        Share of trips whose way it crosses, and of those that are still to come at that hour.
    seen_share, smelt_share : float
        Share of its length in sight of deer, and from which the wind carries scent to them.
    upwind_share : float
        Share of trips under way that the wind carries scent to, at its worst place.
    crossings : tuple of str
        Fences, ditches and creeks that it crosses.
    faults : tuple of str
        What makes it not quiet, in words.
    words : str
        All of it in words.
    """

    start: str
    points_m: FloatArray
    length_m: float
    climb_m: float
    minutes: float
    cost_m: float
    at_min: float
    to_bed_m: float
    bed: str
    crossed_share: float
    to_come_share: float
    seen_share: float
    smelt_share: float
    upwind_share: float
    crossings: tuple[str, ...]
    faults: tuple[str, ...] = ()
    words: str = ""

    @property
    def is_quiet(self) -> bool:
        """Whether it keeps off beds, out of sight, out of the trips' way and not upwind."""
        return not self.faults


class Goal(Protocol):
    """Where a walk leads: a stand, or anything else with a name and a place [m]."""

    @property
    def name(self) -> str:
        """Its name."""

    @property
    def x_m(self) -> float:
        """Its easting [m]."""

    @property
    def y_m(self) -> float:
        """Its northing [m]."""


def ways_to(base: StandBase, walking: WayGround, stands: Sequence[Goal]) -> dict[str, Way]:
    """Return the best walk to each stand that one leads to, by the stand's name."""
    if not walking.starts or not stands:
        return {}
    cells = np.array([cell for _, cell in walking.starts], dtype=np.int64)
    rows, cols = base.ground.grid.nearest_cells(np.array([(one.x_m, one.y_m) for one in stands]))
    goals = rows * base.ground.grid.n_cols + cols
    search = cost_distance(walking.moves, cells, goals=goals)
    out_m = stepping_out_m(base)
    found = {}
    for stand, goal in zip(stands, goals, strict=True):
        try:
            path = path_of(walking.moves, search.path_to(int(goal)))
        except NoWayError:
            continue
        found[stand.name] = _way(base, walking, path, out_m)
    return found


def _way(base: StandBase, walking: WayGround, path: Path, out_m: FloatArray) -> Way:
    """Return a walk with all that is measured on it."""
    start = next(name for name, cell in walking.starts if cell == int(path.cells[0]))
    # Out is walked from the stand, so that what falls on the way in is climbed.
    heights = base.ground.elevation_m.ravel()[path.cells[:: -1 if walking.is_out else 1]]
    climb = float(np.nansum(np.maximum(np.diff(heights), 0.0)))
    points = path.points_m
    line = shapely.LineString(points) if len(points) > 1 else shapely.Point(points[0])
    bed, to_bed = _nearest_bed(base, line)
    share, to_come = crossed(base, out_m, points, walking.half, walking.at_min)
    way = Way(
        start=start,
        points_m=path.points_m,
        length_m=path.length_m,
        climb_m=climb,
        minutes=path.length_m / base.settings.stands.walk_m_min + climb / CLIMB_M_MIN,
        cost_m=path.cost_m,
        at_min=walking.at_min,
        to_bed_m=to_bed,
        bed=bed,
        crossed_share=share,
        to_come_share=to_come,
        seen_share=float(walking.seen.ravel()[path.cells].mean()),
        smelt_share=float(walking.smelt.ravel()[path.cells].mean()),
        upwind_share=float(walking.upwind.ravel()[path.cells].max()),
        crossings=tuple(
            f"{one.kind.value} {one.name}" if one.name != one.kind.value else one.name
            for one in base.ground.barriers
            if line.intersects(one.line)
        ),
    )
    way = replace(way, faults=tuple(_faults(base, way)))
    return replace(way, words=_said(base, walking, way))


def _nearest_bed(base: StandBase, line: shapely.Geometry) -> tuple[str, float]:
    """Return the bed that a walk comes nearest to, and how near [m]."""
    marks: list[Mark] = [bed.mark for bed in base.ground.beds]
    bed = min(marks, key=lambda mark: float(mark.geometry.distance(line)))
    return bed.label, float(bed.geometry.distance(line))


def _faults(base: StandBase, way: Way) -> Iterator[str]:
    """Yield what makes a way not quiet."""
    own = base.settings.stands
    if way.to_bed_m < own.way_standoff_m:
        yield f"it passes {said_length(way.to_bed_m)} from {way.bed}"
    if way.seen_share > _LOUD_SHARE:
        yield f"{100 * way.seen_share:.0f} % of it lies in sight of deer"
    if way.smelt_share > _LOUD_SHARE:
        yield f"the wind carries your scent to deer from {100 * way.smelt_share:.0f} % of it"
    if way.to_come_share > own.way_trips_share:
        yield f"{said_share(way.to_come_share)} trips are still to come across your track"
    if way.upwind_share > own.way_trips_share:
        yield f"the wind carries your scent to {said_share(way.upwind_share)} trips under way"


def _said(base: StandBase, walking: WayGround, way: Way) -> str:
    """Return a way in words."""
    side = "out" if walking.is_out else "in"
    at = walk_at(base, walking.half, is_out=walking.is_out)
    over = f", over {', '.join(way.crossings)}" if way.crossings else ""
    words = (
        f"{'To' if walking.is_out else 'From'} {way.start}, setting out at {said_clock(at)}:"
        f" {said_length(way.length_m)}, {said_height(way.climb_m)} of climb, about"
        f" {way.minutes:.0f} minutes, nearest bed {way.bed} at {said_length(way.to_bed_m)}{over};"
        f" it crosses the way of {said_share(way.crossed_share)} trips,"
        f" {said_share(way.to_come_share)} still to come."
    )
    if way.is_quiet:
        return words
    return f"No quiet way {side} on this wind: {'; '.join(way.faults)}. {words}"
