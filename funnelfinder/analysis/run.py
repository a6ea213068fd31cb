"""One full run, from a property and its grids to its findings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from funnelfinder import __version__
from funnelfinder.analysis.counted import counted_trips
from funnelfinder.analysis.findings import Findings, Pair
from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.analysis.redraws import Redrawn, redraw, with_redraws
from funnelfinder.analysis.travel import Demand, check_marks
from funnelfinder.analysis.weighing import Weighed, laid_ground, weighed
from funnelfinder.analysis.workings import Workings
from funnelfinder.cost import even_surface
from funnelfinder.defaults import Counted, Settings
from funnelfinder.detectors.registry import find_features, load_detectors
from funnelfinder.errors import GridError
from funnelfinder.features import Feature
from funnelfinder.grid import frozen
from funnelfinder.ground import Grids, Ground
from funnelfinder.marks import MarkKind, Property
from funnelfinder.pinch_points import PinchPoint, find_pinch_points
from funnelfinder.progress import QUIET, Part, Progress
from funnelfinder.scrapes import Cluster, caught_share, find_clusters
from funnelfinder.season import SeasonChoices
from funnelfinder.staging import staging_spots
from funnelfinder.travel_network import (
    Moves,
    Search,
    detour_share,
    routes,
    travel_network,
)
from funnelfinder.trips import DrawnTrips, PairTrips, draw_trips, factor, passage_per_m

#: How many single trips are kept to look at.
_N_SHOWN = 40


def run_fingerprint(place: Property, grids: Grids, *, seed: int, n_redraws: int) -> str:
    """Return the hash of everything that a run depends on.

    A spot that is merely taken along changes no result; one put by hand or left out does. When and
    from where to hunt comes after a run and changes nothing in it, unless spots are chosen by the
    trips in legal light.
    """
    telling = tuple(pick for pick in place.picks if pick.is_by_hand or not pick.is_taken)
    usual = Settings()
    settings = replace(place.settings, wind=usual.wind, stands=usual.stands, season=usual.season)
    is_lit = settings.scrapes.trips_counted is Counted.LEGAL_LIGHT
    settings = settings if is_lit else replace(settings, daylight=usual.daylight)
    phase = place.season.phase if is_lit else ""
    place = replace(
        place,
        picks=telling,
        stands=(),
        settings=settings,
        time_zone="",
        peak_breeding="",
        season=SeasonChoices(phase=phase),
    )
    detectors, notes = load_detectors()
    names = [(one.name, one.source) for one in detectors]
    return fingerprint(__version__, place, grids, seed, n_redraws, names, notes)


def run(
    place: Property,
    grids: Grids | None,
    *,
    seed: int = 1,
    n_redraws: int | None = None,
    previous: Findings | None = None,
    workings: Workings | None = None,
    progress: Progress = QUIET,
) -> Findings:
    """Return the findings of a property.

    Parameters
    ----------
    place : Property
        Boundary, marks and settings.
    grids : Grids
        Elevation and land cover.
    seed : int
        The same seed gives the same findings.
    n_redraws : int, optional
        How often everything is tried again with other costs; the property's setting by default.
    previous : Findings, optional
        Returned as they are if nothing that made them changed.
    workings : Workings, optional
        What a run before kept; stages whose inputs did not change are skipped.
    progress : Progress
        Told how far the run is.

    Raises
    ------
    GridError
        If the property has no grids or they do not fit.
    MarkError
        If there is no bed or no food, or one lies wholly on removed ground.
    NoWayError
        If a bed has no way to any food.
    Stopped
        If the progress says so.
    """
    if grids is None:
        raise GridError(
            "The property has no grids yet.",
            where=place.name,
            remedy="Add one elevation grid and one land-cover grid.",
        )
    count = place.settings.redraws.n_redraws if n_redraws is None else n_redraws
    mark = run_fingerprint(place, grids, seed=seed, n_redraws=count)
    if previous is not None and previous.fingerprint == mark:
        return previous
    work = workings or Workings()
    work.begin()
    return _Run(place, grids, work, progress, seed=seed, n_redraws=count).findings(mark)


class _Run:
    """One run under way: the stages in order, each from those before it."""

    def __init__(
        self,
        place: Property,
        grids: Grids,
        work: Workings,
        progress: Progress,
        *,
        seed: int,
        n_redraws: int,
    ) -> None:
        self.place = place
        self.grids = grids
        self.work = work
        self.progress = progress
        self.seed = seed
        self.n_redraws = n_redraws

    def findings(self, mark: str) -> Findings:
        """Return what the run found."""
        place, settings = self.place, self.place.settings
        ground, ground_key = laid_ground(place, self.grids, self.work, self.progress)
        check_marks(ground)
        features, feature_notes = self._features(ground)
        scales = weighed(ground, ground_key, place, self.work, self.progress)
        moves, wanted = scales.moves, scales.wanted
        pairs, even = self._pairs(scales)
        drawn = draw_trips(pairs, settings.trips, seed=self.seed)
        pinches = self._pinch_points(
            pairs, even, features, moves, _by_food(ground, wanted.to_foods)
        )
        self.progress.step(0.72, "Choosing scrapes")
        counted = counted_trips(place, drawn, ground, seed=self.seed)
        staging = staging_spots(ground, pairs, counted, settings.scrapes)
        clusters, left_out = find_clusters(
            ground, counted, pinches, settings.scrapes, picks=place.picks, ways_in=ways_in_of(place)
        )
        passage = passage_per_m(pairs)
        network = travel_network(
            moves,
            ground.beds,
            ground.foods,
            wanted.shares,
            to_foods=wanted.to_foods,
            passage_per_m=passage,
            pinch_points_m=np.array([(one.x_m, one.y_m) for one in pinches]).reshape(-1, 2),
        )
        redrawn = self._redrawn(ground, clusters)
        return Findings(
            property_name=place.name,
            fingerprint=mark,
            seed=self.seed,
            n_redraws=self.n_redraws,
            grid=ground.grid,
            passage=frozen(passage.astype(np.float32)),
            pairs=_pair_table(pairs, drawn, wanted, ground),
            routes=routes(network),
            pinch_points=pinches,
            staging_spots=staging,
            clusters=with_redraws(clusters, redrawn),
            left_out=left_out,
            features=features,
            caught=caught_share(clusters, counted, settings.scrapes.reach_m),
            drawn_m=_shown(drawn),
            dependences=redrawn.dependences if redrawn else (),
            notes=(*ground.notes, *feature_notes, *wanted.notes, *scales.notes),
            stages=tuple(self.work.stages),
            trips=settings.scrapes.trips_counted.words,
        )

    def _features(self, ground: Ground) -> tuple[tuple[Feature, ...], tuple[str, ...]]:
        """Return the features of terrain and cover; beds do not bear on them."""
        place = self.place
        detectors, notes = load_detectors()
        key = fingerprint(
            ground.fine_grid,
            ground.fine_elevation_m,
            ground.cover,
            ground.is_removed,
            ground.barriers,
            place.detectors_off,
            [one.name for one in detectors],
            [food.mark.geometry for food in ground.foods],
        )
        features, more = self.work.stage(
            "Finding saddles, benches and corners",
            key,
            lambda: find_features(ground, place, detectors),
            progress=self.progress,
            share=0.05,
        )
        return features, (*notes, *more)

    def _pairs(self, scales: Weighed) -> tuple[tuple[PairTrips, ...], tuple[PairTrips, ...]]:
        """Return the trips of every pair, here and on even ground."""
        ground, kappa = scales.ground, scales.kappa_per_m
        even_key = fingerprint(ground.grid, kappa)
        even_solver = self.work.stage(
            "Weighing even ground",
            even_key,
            lambda: factor(even_surface(scales.surface), kappa),
            progress=self.progress,
            share=0.4,
        )
        self.progress.step(0.55, "Walking the trips")
        beds, foods, shares = ground.beds, ground.foods, scales.wanted.shares
        pairs = self.work.pairs(scales.solver, scales.solver_key, beds, foods, shares)
        even = self.work.pairs(even_solver, even_key, beds, foods, shares)
        return pairs, even

    def _pinch_points(
        self,
        pairs: Sequence[PairTrips],
        even: Sequence[PairTrips],
        features: Sequence[Feature],
        moves: Moves,
        to_food: Mapping[str, Search],
    ) -> tuple[PinchPoint, ...]:
        """Return the pinch points."""
        self.progress.step(0.62, "Looking for pinch points")
        reach_m = self.place.settings.scrapes.reach_m

        def detour(pair: PairTrips, x_m: float, y_m: float) -> float:
            return detour_share(
                moves,
                pair.bed.cells,
                pair.food.cells,
                (x_m, y_m),
                reach_m,
                to_food=to_food[pair.food.mark.key],
            )

        return find_pinch_points(
            pairs, even, features, self.place.settings.pinch, reach_m=reach_m, detour_share=detour
        )

    def _redrawn(self, ground: Ground, clusters: Sequence[Cluster]) -> Redrawn | None:
        """Return what the redraws say, or None without redraws."""
        if not self.n_redraws or not clusters:
            return None
        return redraw(
            self.place,
            self.grids,
            clusters,
            n_redraws=self.n_redraws,
            seed=self.seed,
            progress=Part(self.progress, 0.78, 0.99),
        )


def _by_food(ground: Ground, to_foods: Sequence[Search]) -> dict[str, Search]:
    """Return the searches by the food they lead to."""
    return {food.mark.key: search for food, search in zip(ground.foods, to_foods, strict=True)}


def ways_in_of(place: Property) -> list[shapely.Point]:
    """Return where the person comes from."""
    marks = place.of_kind(MarkKind.WAY_IN)
    return [point for mark in marks for point in shapely.get_parts(mark.geometry)]


def _pair_table(
    pairs: Sequence[PairTrips], drawn: DrawnTrips, wanted: Demand, ground: Ground
) -> tuple[Pair, ...]:
    """Return the pairs as people read them."""
    lengths = drawn.lengths_m()
    beds = {bed.mark.key: i for i, bed in enumerate(ground.beds)}
    foods = {food.mark.key: j for j, food in enumerate(ground.foods)}
    table = []
    for number, pair in enumerate(pairs):
        i, j = beds[pair.bed.mark.key], foods[pair.food.mark.key]
        table.append(
            Pair(
                bed=pair.bed.label,
                food=pair.food.label,
                demand=pair.demand,
                length_m=float(wanted.length_m[i, j]),
                cost_m=float(wanted.cost_m[i, j]),
                walked_m=float(lengths[drawn.pair == number].mean()),
            )
        )
    return tuple(table)


def _shown(drawn: DrawnTrips) -> tuple[np.ndarray, ...]:
    """Return a few trips to look at, each pair in proportion to its share."""
    ranks = np.searchsorted(np.cumsum(drawn.weight), (np.arange(_N_SHOWN) + 0.5) / _N_SHOWN)
    numbers = np.unique(np.minimum(ranks, drawn.n_trips - 1))
    return tuple(frozen(drawn.trip_m(int(number)).copy()) for number in numbers)
