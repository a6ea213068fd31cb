"""The walk to each spot and stand: one way that is quiet on the most winds, and on which ones.

A plan is made months ahead, when nobody knows the wind. So a walk is sought on each of eight winds
(`funnelfinder.stands.ways_to`), each is judged on all of them, and the one that is quiet on the
most is planned, with the winds on which to stay at home.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import datetime, time
from itertools import permutations
from typing import Final

import numpy as np

from funnelfinder.daylight import Half
from funnelfinder.plan.spots import WIND_WORDS, Spot
from funnelfinder.progress import QUIET, Progress
from funnelfinder.stands import Moment, Stand, StandBase, Way, WayGround, way_ground, ways_to
from funnelfinder.stands.sits import air_of

#: Work is done about noon, when deer lie in their beds (common practice, no source).
_NOON: Final = time(12, 30)
#: Speed of the wind that a plan reckons with, as for wind tables (judgement) [m/s].
_WIND_M_S: Final = 3.0
#: A way is spoilt where deer smell a person from more of it than this (judgement) [share].
_SMELT_SHARE: Final = 0.1
#: Two cores are common, and the kernels leave the interpreter lock.
_AT_A_TIME: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class WayIn:
    """One planned walk.

    Parameters
    ----------
    start : str
        The way in, or the spot that one comes from.
    points_m : tuple of (float, float)
        The walk [m].
    length_m, climb_m, minutes : float
        Its length [m], climb [m] and time [min].
    bed, to_bed_m : str, float
        The bed that it comes nearest to, and how near [m].
    winds, bad_winds : tuple of str
        Winds, by where they come from, on which it is quiet, and on which it is not.
    faults : tuple of str
        What is wrong with it on any wind; empty for a good way.
    crossings : tuple of str
        Fences, ditches and creeks that it crosses.
    """

    start: str
    points_m: tuple[tuple[float, float], ...]
    length_m: float
    climb_m: float
    minutes: float
    bed: str
    to_bed_m: float
    winds: tuple[str, ...]
    bad_winds: tuple[str, ...]
    faults: tuple[str, ...] = ()
    crossings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class PlannedWays:
    """Walks to the spots and stands of a property.

    Parameters
    ----------
    work : mapping of int to WayIn
        To each cluster about noon, by its number.
    onward : mapping of (int, int) to WayIn
        From a cluster to another of its area.
    stands : mapping of int to str
        The stand in force of each cluster that is sat first.
    sits : mapping of (str, Half) to WayIn
        To each stand for an evening or a morning.
    """

    work: Mapping[int, WayIn] = field(default_factory=dict)
    onward: Mapping[tuple[int, int], WayIn] = field(default_factory=dict)
    stands: Mapping[int, str] = field(default_factory=dict)
    sits: Mapping[tuple[str, Half], WayIn] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Goal:
    """Where a walk leads."""

    name: str
    x_m: float
    y_m: float


def planned_ways(
    base: StandBase,
    spots: Sequence[Spot],
    stands: Sequence[Stand],
    *,
    progress: Progress = QUIET,
) -> PlannedWays:
    """Return the walks of a plan.

    Parameters
    ----------
    base : StandBase
        Ground, beds and trips.
    spots : sequence of Spot
        The clusters.
    stands : sequence of Stand
        Those in force (`funnelfinder.stands.stands_for`); the first of each cluster is sat.
    progress : Progress
        Told how far it is.
    """
    first = {stand.cluster: stand for stand in reversed(stands)}
    goals = [_Goal(name=str(one.number), x_m=one.x_m, y_m=one.y_m) for one in spots]
    progress.step(0.85, "Seeking quiet ways to the spots")
    noon = _grounds(base, None)
    work = _best_ways(base, noon, goals)
    onward = {}
    for area in {spot.area for spot in spots}:
        own = [spot for spot in spots if spot.area == area]
        for here, there in permutations(own, 2):
            found = _onward(base, noon, here, there)
            if found is not None:
                onward[here.number, there.number] = found
    sits: dict[tuple[str, Half], WayIn] = {}
    for k, half in enumerate(Half):
        progress.step(0.9 + 0.05 * k, f"Seeking quiet ways to the stands, {half.value}")
        best = _best_ways(base, _grounds(base, half), list(first.values()))
        sits |= {(name, half): way for name, way in best.items()}
    return PlannedWays(
        work={int(name): way for name, way in work.items()},
        onward=onward,
        stands={number: stand.name for number, stand in first.items()},
        sits=sits,
    )


def _grounds(base: StandBase, half: Half | None) -> list[WayGround]:
    """Return what walking costs on each wind: to a sit, or about noon without one."""
    at = datetime.combine(base.day.on, _NOON, base.day.sunset.tzinfo)
    at_min = (at - base.day.sunset).total_seconds() / 60.0

    def one(number: int) -> WayGround:
        moment = Moment(half=half or Half.EVENING, from_deg=45.0 * number, speed_m_s=_WIND_M_S)
        if half is not None:
            return way_ground(base, half, air_of(base, moment))
        return way_ground(base, Half.EVENING, air_of(base, moment, at), at_min=at_min)

    with ThreadPoolExecutor(_AT_A_TIME) as pool:
        return list(pool.map(one, range(len(WIND_WORDS))))


def _best_ways(
    base: StandBase, grounds: Sequence[WayGround], goals: Sequence[_Goal | Stand]
) -> dict[str, WayIn]:
    """Return for each goal the way that is quiet on the most winds, of those the shortest."""
    with ThreadPoolExecutor(_AT_A_TIME) as pool:
        found = list(pool.map(lambda ground: ways_to(base, ground, goals), grounds))
    best = {}
    for goal in goals:
        every = [_judged(base, ways[goal.name], grounds) for ways in found if goal.name in ways]
        if every:
            best[goal.name] = max(
                every, key=lambda way: (not way.faults, len(way.winds), -way.length_m)
            )
    return best


def _onward(base: StandBase, grounds: Sequence[WayGround], here: Spot, there: Spot) -> WayIn | None:
    """Return the way from one spot to another, None where there is none."""
    grid = base.ground.grid
    row, col = grid.nearest_cells(np.array([[here.x_m, here.y_m]]))
    if grounds[0].moves.surface.is_removed[row[0], col[0]]:
        return None
    start = (here.label, int(row[0]) * grid.n_cols + int(col[0]))
    goal = _Goal(name=str(there.number), x_m=there.x_m, y_m=there.y_m)
    way = ways_to(base, replace(grounds[0], starts=(start,)), [goal]).get(goal.name)
    return None if way is None else _judged(base, way, grounds)


def _judged(base: StandBase, way: Way, grounds: Sequence[WayGround]) -> WayIn:
    """Return a way with the winds on which it is quiet."""
    rows, cols = base.ground.grid.nearest_cells(way.points_m)
    smelt = [float(np.maximum(one.smelt, one.upwind)[rows, cols].mean()) for one in grounds]
    return WayIn(
        start=way.start,
        points_m=tuple((float(x), float(y)) for x, y in way.points_m),
        length_m=way.length_m,
        climb_m=way.climb_m,
        minutes=way.minutes,
        bed=way.bed,
        to_bed_m=way.to_bed_m,
        winds=tuple(w for w, s in zip(WIND_WORDS, smelt, strict=True) if s <= _SMELT_SHARE),
        bad_winds=tuple(w for w, s in zip(WIND_WORDS, smelt, strict=True) if s > _SMELT_SHARE),
        faults=tuple(_faults(base, way)),
        crossings=way.crossings,
    )


def _faults(base: StandBase, way: Way) -> Iterator[str]:
    """Yield what is wrong with a way on any wind."""
    if way.to_bed_m < base.settings.stands.way_standoff_m:
        yield f"it passes near {way.bed}"
    if way.seen_share > _SMELT_SHARE:
        yield f"{100 * way.seen_share:.0f} of 100 yards lie in sight of beds"
