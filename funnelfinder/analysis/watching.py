"""What cameras say of a property: visits, which pairs are walked, spots, and the next camera."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.analysis.fingerprints import fingerprint
from funnelfinder.analysis.travel import check_marks
from funnelfinder.analysis.weighing import laid_ground, weighed
from funnelfinder.analysis.workings import Workings
from funnelfinder.catch import shares_by_pair
from funnelfinder.declination import lon_lat_deg
from funnelfinder.evidence import (
    APART_MIN,
    NEXT_NIGHTS,
    SITE_SHAPE,
    CameraCount,
    CameraLog,
    Interval,
    PlaceVisits,
    Rates,
    SunClock,
    expected_visits,
    pair_rates,
    places_of,
    prior_nights,
    prior_rates,
    ranks,
    spot_shares,
    spread_after,
    spread_of,
)
from funnelfinder.ground import Grids
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress
from funnelfinder.scrapes import Cluster
from funnelfinder.sun import zone_of
from funnelfinder.trips import DrawnTrips, PairTrips, draw_trips

#: A camera this near to a scrape or the camera point of a cluster is one of that cluster
#: (judgement) [m].
AT_CLUSTER_M: Final = 75.0
#: Share that a usual spot catches where no cluster was found (judgement).
_USUAL_CATCH: Final = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraPlace:
    """One camera place: what was recorded, and what the model makes of it.

    Parameters
    ----------
    visits : PlaceVisits
        Nights, deer visits, share by day.
    cluster : int
        Number of the cluster that it watches, 0 for none.
    catch : float
        Share of the model's trips that pass within its reach.
    expected : Interval
        Visits that the rates, as the cameras leave them, let expect in its nights.
    is_counted : bool
        Whether the rates rest on it; not where it recorded deer and no trip of the model passes.
    """

    visits: PlaceVisits
    cluster: int
    catch: float
    expected: Interval
    is_counted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PairWalked:
    """A bed-food pair: its share of all trips in the model and after the cameras, and its rate.

    ``rate`` is trips a night, out and back counted one by one.
    """

    bed: str
    food: str
    model_share: float
    share: Interval
    rate: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotRanked:
    """A cluster's share of all trips and its place among the clusters, before and after."""

    number: int
    name: str
    before: Interval
    after: Interval
    rank_before: int
    rank_after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPlace:
    """Where the next camera could hang: ``spread`` is what it would leave [trips a night]."""

    name: str
    cluster: int
    x_m: float
    y_m: float
    spread: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What cameras say of a property.

    Parameters
    ----------
    cameras : tuple of CameraPlace
        In the order in which the places were first used.
    pairs : tuple of PairWalked
        In the order of the findings.
    spots : tuple of SpotRanked
        Clusters, the largest share after the cameras first.
    next_places : tuple of NextPlace
        Places without a camera, the one that leaves the least spread first.
    next_nights : float
        How long the next camera is taken to hang.
    spread_before, spread : float
        How unsure the rates were before the cameras and are now: root of the sum of their
        variances [trips a night].
    notes : tuple of str
        What was left out, and why.
    """

    cameras: tuple[CameraPlace, ...]
    pairs: tuple[PairWalked, ...]
    spots: tuple[SpotRanked, ...]
    next_places: tuple[NextPlace, ...]
    next_nights: float
    spread_before: float
    spread: float
    notes: tuple[str, ...]


def sun_clock(place: Property) -> tuple[SunClock, str]:
    """Return the sun's times at a property, and a note where its clock had to be guessed."""
    middle = place.boundary.centroid
    lon, lat = lon_lat_deg(np.array([[middle.x, middle.y]]), place.epsg)[0]
    zone, note = zone_of(place.time_zone, float(lon))
    return SunClock(float(lat), float(lon), zone, place.settings.daylight), note


def watched(
    place: Property,
    grids: Grids,
    findings: Findings,
    log: CameraLog,
    *,
    apart_min: float = APART_MIN,
    next_nights: float = NEXT_NIGHTS,
    workings: Workings | None = None,
    progress: Progress = QUIET,
) -> Watched:
    """Return what cameras say: visits, pairs with intervals, spots, and where to look next.

    Parameters
    ----------
    place : Property
        As trips were run on it (`place_for_phase`).
    grids : Grids
        Elevation and land cover.
    findings : Findings
        Whose clusters are ranked; their seed draws the trips.
    log : CameraLog
        The records that count; cut them with `CameraLog.between` first.
    apart_min : float
        Records nearer in time than this to the one before belong to the same visit [min].
    next_nights : float
        How long the next camera is taken to hang.
    workings : Workings, optional
        What was kept before: with it nothing is weighed again.
    progress : Progress
        Told how far it is.

    Raises
    ------
    MarkError, NoWayError
        As for a run.
    """
    clock, note = sun_clock(place)
    work = workings or Workings()
    model = _model(place, grids, findings.seed, work, progress)
    progress.step(0.9, "Weighing what the cameras saw")
    seen = _seen(log, clock, apart_min, model)
    at_spots = model.catch([np.array(one.scrapes_m).reshape(-1, 2) for one in findings.clusters])
    usual = float((at_spots @ model.demand).mean()) if findings.clusters else _USUAL_CATCH
    nights = prior_nights(model.demand, usual)
    rng = np.random.default_rng(findings.seed)
    before = prior_rates(nights, rng)
    after = _rates(seen, nights, rng) or before
    return Watched(
        cameras=tuple(_cameras(seen, findings, model, after, rng)),
        pairs=tuple(_pairs(model, after)),
        spots=_ranked(findings.clusters, at_spots, before, after),
        next_places=_next_places(findings, seen.places, model, after, next_nights),
        next_nights=next_nights,
        spread_before=spread_of(before),
        spread=spread_of(after),
        notes=(*([note] if note else []), *_notes(seen)),
    )


@dataclass(frozen=True, kw_only=True)
class _Model:
    """The trips of a run round the clock, as cameras see them, and which pass within reach."""

    pairs: tuple[PairTrips, ...]
    drawn: DrawnTrips
    reach_m: float

    @property
    def demand(self) -> FloatArray:
        """Share of all trips of each pair."""
        return np.array([pair.demand for pair in self.pairs])

    def catch(self, groups_m: Sequence[FloatArray]) -> FloatArray:
        """Return the share of each pair's trips that pass groups of places."""
        return shares_by_pair(groups_m, self.drawn, self.reach_m, len(self.pairs))


def _model(place: Property, grids: Grids, seed: int, work: Workings, progress: Progress) -> _Model:
    """Return the trips of a run, kept until something changes."""
    work.begin()
    ground, ground_key = laid_ground(place, grids, work, progress)
    check_marks(ground)
    scales = weighed(ground, ground_key, place, work, progress)
    progress.step(0.7, "Walking single trips")
    beds, foods, shares = ground.beds, ground.foods, scales.wanted.shares
    pairs = work.pairs(scales.solver, scales.solver_key, beds, foods, shares)
    ends = [(patch.mark.key, patch.cells) for patch in (*beds, *foods)]
    trips = place.settings.trips
    key = fingerprint(scales.solver_key, ends, shares, trips, seed)
    # The half that reports: spots were chosen by the other.
    drawn = work.kept("whole trips", key, lambda: draw_trips(pairs, trips, seed=seed).half(1))
    return _Model(pairs=pairs, drawn=drawn, reach_m=place.settings.scrapes.reach_m)


@dataclass(frozen=True, kw_only=True)
class _Seen:
    """Camera places, the share of each pair's trips at each, and which of them count."""

    places: tuple[PlaceVisits, ...]
    catch: FloatArray
    counted: tuple[bool, ...]

    def rows(self) -> Iterator[tuple[PlaceVisits, FloatArray, bool]]:
        """Yield place, shares and whether it counts."""
        return zip(self.places, self.catch, self.counted, strict=True)


def _seen(log: CameraLog, clock: SunClock, apart_min: float, model: _Model) -> _Seen:
    """Return the camera places of a log on the trips of a model."""
    places = places_of(log, clock, apart_min=apart_min)
    catch = model.catch([np.array([[one.x_m, one.y_m]]) for one in places])
    counted = tuple(
        bool(row.any()) or not one.visits for one, row in zip(places, catch, strict=True)
    )
    return _Seen(places=places, catch=catch, counted=counted)


def _rates(seen: _Seen, nights: FloatArray, rng: np.random.Generator) -> Rates | None:
    """Return the rates after the cameras that count, None without any."""
    counts = [
        CameraCount(n_visits=len(one.visits), nights=one.nights, catch=tuple(float(v) for v in row))
        for one, row, is_counted in seen.rows()
        if is_counted
    ]
    return pair_rates(counts, rng, prior_nights=nights) if counts else None


def _cameras(
    seen: _Seen, findings: Findings, model: _Model, after: Rates, rng: np.random.Generator
) -> Iterator[CameraPlace]:
    """Yield each camera place with what the model makes of it."""
    for one, row, is_counted in seen.rows():
        yield CameraPlace(
            visits=one,
            cluster=cluster_at(findings.clusters, one.x_m, one.y_m),
            catch=float(row @ model.demand),
            expected=Interval(*expected_visits(after, row, one.nights, SITE_SHAPE, rng)),
            is_counted=is_counted,
        )


def cluster_at(clusters: Sequence[Cluster], x_m: float, y_m: float) -> int:
    """Return the number of the cluster that a camera at a place watches, 0 for none."""
    far = [
        (min(math.dist((x_m, y_m), at) for at in (*one.scrapes_m, one.camera_m)), one.number)
        for one in clusters
    ]
    nearest = min(far, default=(math.inf, 0))
    return nearest[1] if nearest[0] <= AT_CLUSTER_M else 0


def _pairs(model: _Model, after: Rates) -> Iterator[PairWalked]:
    """Yield the pairs with their shares and rates."""
    share, low, high = spot_shares(after, np.eye(len(model.pairs)))
    for k, pair in enumerate(model.pairs):
        yield PairWalked(
            bed=pair.bed.label,
            food=pair.food.label,
            model_share=pair.demand,
            share=Interval(float(share[k]), float(low[k]), float(high[k])),
            rate=Interval(float(after.mean[k]), float(after.low[k]), float(after.high[k])),
        )


def _ranked(
    clusters: Sequence[Cluster], catch: FloatArray, before: Rates, after: Rates
) -> tuple[SpotRanked, ...]:
    """Return the clusters with their shares before and after, the largest after first."""
    if not clusters:
        return ()
    old, new = spot_shares(before, catch), spot_shares(after, catch)
    places = zip(ranks(old[0]), ranks(new[0]), strict=True)
    found = [
        SpotRanked(
            number=one.number,
            name=one.name,
            before=Interval(*(float(part[k]) for part in old)),
            after=Interval(*(float(part[k]) for part in new)),
            rank_before=rank_before,
            rank_after=rank_after,
        )
        for k, (one, (rank_before, rank_after)) in enumerate(zip(clusters, places, strict=True))
    ]
    return tuple(sorted(found, key=lambda one: one.rank_after))


def _next_places(
    findings: Findings,
    places: Sequence[PlaceVisits],
    model: _Model,
    rates: Rates,
    nights: float,
) -> tuple[NextPlace, ...]:
    """Return the places without a camera, the one that leaves the least spread first."""
    free = [
        one
        for one in _candidates(findings)
        if all(math.dist(one[2], (at.x_m, at.y_m)) > model.reach_m for at in places)
    ]
    if not free:
        return ()
    catch = model.catch([np.array([at]) for _, _, at in free])
    spreads = spread_after(rates, catch, nights=nights)
    found = [
        NextPlace(name=name, cluster=number, x_m=at[0], y_m=at[1], spread=float(spread))
        for (name, number, at), spread in zip(free, spreads, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: one.spread))


def _candidates(findings: Findings) -> Iterator[tuple[str, int, tuple[float, float]]]:
    """Yield where a camera could hang: its name, the number of its cluster, its place."""
    for cluster in findings.clusters:
        yield f"cluster {cluster.number} {cluster.name}".strip(), cluster.number, cluster.camera_m
    for pinch in findings.pinch_points:
        kind = f" ({pinch.kinds[0]})" if pinch.kinds else ""
        at = (pinch.x_m, pinch.y_m)
        yield f"pinch point{kind}", cluster_at(findings.clusters, *at), at
    for spot in findings.staging_spots:
        at = (spot.x_m, spot.y_m)
        yield f"staging spot at {spot.food}", cluster_at(findings.clusters, *at), at


def _notes(seen: _Seen) -> Iterator[str]:
    """Yield what was left out of the rates."""
    for one, _, is_counted in seen.rows():
        if not is_counted:
            yield (
                f"{one.name} recorded {len(one.visits)} visits where no trip of the model passes,"
                " so the rates leave it out. Mark the bed or food that these deer use, and run"
                " again."
            )
