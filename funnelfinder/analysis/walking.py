"""Trips alone, without spots: what can follow a hand that moves a bed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from funnelfinder.analysis.counted import clocks_of, counted_trips
from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.analysis.travel import check_marks
from funnelfinder.analysis.weighing import Weighed, laid_ground, weighed
from funnelfinder.analysis.workings import Workings
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Grids, Ground, travel_cell_m
from funnelfinder.kernels import AnyArray
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress
from funnelfinder.trips import DrawnTrips, PairTrips, draw_trips, passage_per_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """The passage of a property, with the shares of its pairs and notes.

    ``passage`` is net trips that cross a place [share of all trips per metre of front] on
    ``grid``; ``demand`` holds (bed, food, share of all trips, length of the best way [m]).
    """

    grid: Grid
    passage: AnyArray
    demand: tuple[tuple[str, str, float, float], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Steps:
    """The single trips that spots count, on their ground: all, and the half that reports."""

    ground: Ground
    drawn: DrawnTrips
    teller: DrawnTrips


def walk(
    place: Property,
    grids: Grids,
    *,
    workings: Workings,
    laid: Property | None = None,
    times_coarser: int = 1,
    progress: Progress = QUIET,
) -> Walked:
    """Return where trips run.

    Parameters
    ----------
    place : Property
        Boundary, marks and settings.
    grids : Grids
        Elevation and land cover.
    workings : Workings
        What was kept before; while only beds move, all but the solves is skipped. Each
        coarseness needs workings of its own.
    laid : Property, optional
        Whose cover lies under the trips: while a field is dragged, that of before.
    times_coarser : int
        Cells this many times the size, for a passage that follows the hand.
    progress : Progress
        Told how far it is.

    Raises
    ------
    MarkError
        If there is no bed or no food, or one lies wholly on removed ground.
    NoWayError
        If a bed has no way to any food.
    Stopped
        If the progress says so.
    """
    scales, pairs = _paired(
        _coarser(place, times_coarser),
        grids,
        workings,
        progress,
        _coarser(laid, times_coarser) if laid is not None else None,
    )
    return Walked(
        grid=scales.ground.grid,
        passage=frozen(passage_per_m(pairs).astype(np.float32)),
        demand=_demand(scales, pairs),
        notes=_notes(scales),
    )


def _notes(scales: Weighed) -> tuple[str, ...]:
    """Return the facts short of failure."""
    return (*scales.ground.notes, *scales.wanted.notes, *scales.notes)


def _demand(
    scales: Weighed, pairs: Sequence[PairTrips]
) -> tuple[tuple[str, str, float, float], ...]:
    """Return who walks where, how much, and how far."""
    beds = {bed.mark.key: i for i, bed in enumerate(scales.ground.beds)}
    foods = {food.mark.key: j for j, food in enumerate(scales.ground.foods)}
    lengths = scales.wanted.length_m
    return tuple(
        (
            pair.bed.label,
            pair.food.label,
            pair.demand,
            float(lengths[beds[pair.bed.mark.key], foods[pair.food.mark.key]]),
        )
        for pair in pairs
    )


def _coarser(place: Property, times: int) -> Property:
    """Return the property on larger cells."""
    if times == 1:
        return place
    settings = place.settings
    cell_m = times * travel_cell_m(place)
    ground = replace(settings.ground, travel_cell_m=cell_m)
    return replace(place, settings=replace(settings, ground=ground))


def _paired(
    place: Property,
    grids: Grids,
    work: Workings,
    progress: Progress,
    laid: Property | None = None,
) -> tuple[Weighed, tuple[PairTrips, ...]]:
    """Return the weighed ground and the trips of its pairs."""
    work.begin()
    ground, ground_key = laid_ground(place, grids, work, progress, laid=laid)
    check_marks(ground)
    scales = weighed(ground, ground_key, place, work, progress)
    progress.step(0.55, "Walking the trips")
    beds, foods, shares = ground.beds, ground.foods, scales.wanted.shares
    pairs = work.pairs(scales.solver, scales.solver_key, beds, foods, shares)
    return scales, pairs


def steps(
    place: Property, grids: Grids, *, seed: int, workings: Workings, progress: Progress = QUIET
) -> Steps:
    """Return single trips of a property, kept in the workings until something changes."""
    scales, pairs = _paired(place, grids, workings, progress)
    ground = scales.ground
    ends = [(patch.mark.key, patch.cells) for patch in (*ground.beds, *ground.foods)]
    key = fingerprint(scales.solver_key, ends, scales.wanted.shares)
    progress.step(0.8, "Walking single trips")
    trips = place.settings.trips
    counts = (place.settings.scrapes.trips_counted, clocks_of(place))

    def draw() -> tuple[DrawnTrips, DrawnTrips]:
        whole = draw_trips(pairs, trips, seed=seed)
        drawn = counted_trips(place, whole, ground, seed=seed)
        return drawn, drawn.half(1)

    drawn, teller = workings.kept("single trips", fingerprint(key, trips, seed, counts), draw)
    return Steps(
        ground=ground,
        drawn=drawn,
        teller=teller,
    )
