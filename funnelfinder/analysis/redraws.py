"""Everything tried again with other costs: how steady each cluster is, and what it hangs on."""

from __future__ import annotations

import math
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import pairwise
from multiprocessing import get_context
from types import ModuleType
from typing import Final

import numpy as np

from funnelfinder.analysis.counted import counted_trips
from funnelfinder.analysis.draws import (
    Draw,
    Ends,
    drawn_barriers,
    drawn_costs,
    drawn_table,
    ends_of,
    random_draw,
)
from funnelfinder.analysis.findings import Dependence
from funnelfinder.analysis.travel import straightness, travel_demand
from funnelfinder.catch import catches
from funnelfinder.cost import cost_surface
from funnelfinder.ground import Grids, Ground, Patch, prepare_ground, travel_cell_m
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress
from funnelfinder.scrapes import Cluster, candidate_places, swapped
from funnelfinder.travel_network import moves_of
from funnelfinder.trips import DrawnTrips, draw_trips, factor, pair_trips
from funnelfinder.units import said_share

#: A cluster is given up where another catches at least this share of trips more: less is the
#: chance of the drawn trips (judgement).
_GIVEN_UP: Final = 0.002


@dataclass(frozen=True, kw_only=True)
class Redrawn:
    """What the redraws say.

    Parameters
    ----------
    shares : (redraws, clusters) float64
        Share of trips that each cluster catches.
    stayed : (redraws, clusters) bool
        Whether it stayed chosen.
    dependences : tuple of Dependence
        What the shares hang on, largest first.
    """

    shares: FloatArray
    stayed: BoolArray
    dependences: tuple[Dependence, ...]


@dataclass(frozen=True, kw_only=True)
class _Task:
    """All that a redraw needs: the ground on coarse cells, and what was chosen on fine ones.

    ``stand_ins`` are the middles of the clusters after coarse cells alone moved them: that is not
    held against a cluster.
    """

    place: Property
    ground: Ground
    clusters: tuple[Cluster, ...]
    seed: int
    stand_ins: tuple[FloatArray, ...] = ()


@dataclass(frozen=True, kw_only=True)
class _Outcome:
    """What one redraw gave for each cluster: its share, whether it stayed, and all middles."""

    shares: FloatArray
    stayed: BoolArray
    middles: tuple[FloatArray, ...]


def redraw(
    place: Property,
    grids: Grids,
    clusters: Sequence[Cluster],
    *,
    n_redraws: int,
    seed: int,
    n_workers: int | None = None,
    progress: Progress = QUIET,
) -> Redrawn:
    """Return how the clusters fare when costs are drawn anew, on cells of twice the size.

    Parameters
    ----------
    place, grids
        The property.
    clusters : sequence of Cluster
        What was chosen.
    n_redraws : int
        How often everything is redrawn, at least 1.
    seed : int
        The same seed gives the same redraws, whatever the number of processes.
    n_workers : int, optional
        Processes; 1 stays in this one.
    progress : Progress
        Told after each redraw.
    """
    task = _Task(
        place=place, ground=_coarse_ground(place, grids), clusters=tuple(clusters), seed=seed
    )
    still = _outcome(task, Draw())
    task = replace(task, stand_ins=still.middles)
    settings = place.settings.redraws
    table = place.cover_table
    classes = tuple(
        table.by_code[code] for code in np.unique(task.ground.cover) if code in table.by_code
    )
    draws = [
        random_draw(classes, settings, np.random.default_rng([seed, 1 + k]))
        for k in range(n_redraws)
    ]
    ends = ends_of(place, task.ground, settings)
    every = [*draws, *(draw for one in ends for draw in (one.low, one.high))]
    outcomes = [
        _on_fine_cells(one, still, task.clusters)
        for one in _outcomes(task, every, n_workers or min(os.cpu_count() or 1, 8), progress)
    ]
    return Redrawn(
        shares=np.array([one.shares for one in outcomes[:n_redraws]]),
        stayed=np.array([one.stayed for one in outcomes[:n_redraws]]),
        dependences=_dependences(ends, outcomes[n_redraws:], clusters),
    )


def _on_fine_cells(outcome: _Outcome, still: _Outcome, clusters: Sequence[Cluster]) -> _Outcome:
    """Return an outcome with shares as the finer cells of the run would have them.

    Coarser cells alone shift a share a little; only its change from the redraw counts.
    """
    known = np.array([cluster.share for cluster in clusters])
    change = outcome.shares / np.where(still.shares > 0, still.shares, 1.0)
    shares = np.where(still.shares > 0, known * change, outcome.shares)
    return replace(outcome, shares=np.minimum(shares, 1.0))


def with_redraws(clusters: Sequence[Cluster], redrawn: Redrawn | None) -> tuple[Cluster, ...]:
    """Return the clusters with their steadiness and the range of their shares."""
    if redrawn is None:
        return tuple(clusters)
    return tuple(
        replace(
            cluster,
            steadiness=float(redrawn.stayed[:, k].mean()),
            share_low=min(float(redrawn.shares[:, k].min()), cluster.share),
            share_high=max(float(redrawn.shares[:, k].max()), cluster.share),
            n_redraws=redrawn.shares.shape[0],
        )
        for k, cluster in enumerate(clusters)
    )


def _coarse_ground(place: Property, grids: Grids) -> Ground:
    """Return the ground on cells of twice the size, without the fine elevation."""
    settings = place.settings.ground
    cell_m = 2.0 * travel_cell_m(place)
    coarse = replace(
        place, settings=replace(place.settings, ground=replace(settings, travel_cell_m=cell_m))
    )
    ground = prepare_ground(coarse, grids)
    return replace(ground, fine_grid=ground.grid, fine_elevation_m=ground.elevation_m)


def _outcomes(
    task: _Task, draws: Sequence[Draw], n_workers: int, progress: Progress
) -> list[_Outcome]:
    """Return what each draw gives, in order."""
    words = "Trying other costs"
    found: dict[int, _Outcome] = {}
    progress.step(0.0, f"{words}: 0 of {len(draws)}")
    if n_workers == 1:
        for number, draw in enumerate(draws):
            found[number] = _outcome(task, draw)
            progress.step(len(found) / len(draws), f"{words}: {len(found)} of {len(draws)}")
    else:
        with _pool(task, n_workers) as pool:
            with _unseen_script():
                waiting: dict[Future[_Outcome], int] = {
                    pool.submit(_outcome_here, draw): number for number, draw in enumerate(draws)
                }
            for done in as_completed(waiting):
                found[waiting[done]] = done.result()
                progress.step(len(found) / len(draws), f"{words}: {len(found)} of {len(draws)}")
    return [found[number] for number in range(len(draws))]


@contextmanager
def _pool(task: _Task, n_workers: int) -> Iterator[ProcessPoolExecutor]:
    """Yield a pool of processes that know the task; stopping drops what has not begun."""
    pool = ProcessPoolExecutor(
        n_workers, mp_context=get_context("spawn"), initializer=_begin, initargs=(task,)
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


@contextmanager
def _unseen_script() -> Iterator[None]:
    """Start processes without their importing the caller's script.

    They need only this package; a script without a guard would start itself again and again.
    """
    script = sys.modules["__main__"]
    sys.modules["__main__"] = ModuleType("__main__")
    try:
        yield
    finally:
        sys.modules["__main__"] = script


_here: list[_Task] = []


def _begin(task: _Task) -> None:
    """Keep the task in this worker process."""
    _here[:] = [task]


def _outcome_here(draw: Draw) -> _Outcome:
    """Return what a draw gives, in a worker process."""
    return _outcome(_here[0], draw)


def _outcome(task: _Task, draw: Draw) -> _Outcome:
    """Return how the clusters fare under one draw."""
    drawn = _drawn_trips(task, draw)
    settings = task.place.settings
    scrapes = [np.array(cluster.scrapes_m) for cluster in task.clusters]
    places = candidate_places(task.ground, drawn, settings.scrapes, task.place.picks)
    own = np.concatenate(scrapes)
    table = catches(np.concatenate([own, places]), drawn, settings.scrapes.reach_m)
    sizes = np.cumsum([0, *(len(one) for one in scrapes)])
    chosen = [np.arange(a, b) for a, b in pairwise(sizes)]
    n_fixed = sum(cluster.is_by_hand for cluster in task.clusters)
    now = swapped(table, settings.scrapes, chosen, n_fixed=n_fixed, least_swap=_GIVEN_UP)
    middles = tuple(table.points_m[one].mean(axis=0) for one in now)
    near_m = settings.redraws.same_place_m
    own_places = [[table.points_m[one].mean(axis=0)] for one in chosen]
    for places_of, stand_in in zip(own_places, task.stand_ins, strict=False):
        places_of.append(stand_in)
    return _Outcome(
        shares=np.array([table.share_of_union(one) for one in chosen]),
        stayed=np.array([_is_near(places_of, middles, near_m) for places_of in own_places]),
        middles=middles,
    )


def _is_near(places: Sequence[FloatArray], others: Sequence[FloatArray], near_m: float) -> bool:
    """Return whether any of some places lies near any of others."""
    return any(float(np.hypot(*(one - other))) <= near_m for one in places for other in others)


def _drawn_trips(task: _Task, draw: Draw) -> DrawnTrips:
    """Return single trips under one draw, with the same seed."""
    settings = task.place.settings
    ground = replace(
        task.ground,
        beds=_reweighted(task.ground.beds, draw.beds),
        foods=_reweighted(task.ground.foods, draw.foods),
    )
    surface = cost_surface(
        ground,
        drawn_costs(settings.cost, draw),
        table=drawn_table(task.place.cover_table, draw),
        barriers=drawn_barriers(ground.barriers, draw),
    )
    trips = replace(settings.trips, wander_m=settings.trips.wander_m * draw.wander)
    wanted = travel_demand(ground, moves_of(surface), trips)
    kappa, _ = straightness(ground, surface, trips)
    pairs = pair_trips(factor(surface, kappa), ground.beds, ground.foods, wanted.shares)
    drawn = draw_trips(pairs, trips, seed=task.seed)
    return counted_trips(task.place, drawn, ground, seed=task.seed)


def _reweighted(patches: tuple[Patch, ...], by_key: Mapping[str, float]) -> tuple[Patch, ...]:
    """Return beds or foods with their weights scaled."""
    return tuple(
        replace(
            patch,
            mark=replace(patch.mark, weight=patch.mark.weight * by_key.get(patch.mark.key, 1.0)),
        )
        for patch in patches
    )


def _dependences(
    ends: Sequence[Ends], outcomes: Sequence[_Outcome], clusters: Sequence[Cluster]
) -> tuple[Dependence, ...]:
    """Return what the shares hang on, largest first: the largest change of any cluster's share."""
    found = []
    for number, one in enumerate(ends):
        low, high = outcomes[2 * number].shares, outcomes[2 * number + 1].shares
        most = int(np.argmax(np.abs(high - low)))
        swing = float(abs(high[most] - low[most]))
        if math.isfinite(swing):
            words = (
                f"{one.what[0].upper()}{one.what[1:]}: between the ends of its range cluster "
                f"{clusters[most].number} goes from {said_share(float(low[most]))} to "
                f"{said_share(float(high[most]))} trips."
            )
            found.append(Dependence(what=one.what, swing=swing, words=words))
    return tuple(sorted(found, key=lambda one: (-one.swing, one.what)))
