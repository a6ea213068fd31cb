"""All results of one run, with the settings that made them."""

from __future__ import annotations

from dataclasses import dataclass

from funnelfinder.features import Feature
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, LeftOut
from funnelfinder.staging import StagingSpot
from funnelfinder.travel_network import Route


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """A bed and a food source that trips link.

    ``demand`` is its share of all trips; ``length_m`` and ``cost_m`` belong to the least-cost
    path [m, metres of best ground]; ``walked_m`` is the mean length of drawn trips [m].
    """

    bed: str
    food: str
    demand: float
    length_m: float
    cost_m: float
    walked_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage of a run: what it was, how long it took, and whether it was still up to date."""

    name: str
    seconds: float
    is_skipped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Dependence:
    """How much the shares hang on one thing: ``swing`` is the change of share [share]."""

    what: str
    swing: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Findings:
    """All results of one run.

    Parameters
    ----------
    property_name : str
        Whose they are.
    fingerprint : str
        Hash of everything that made them: boundary, marks, settings, cover table, grids, seed.
    seed : int
        Seed of the drawn trips and of the redraws.
    n_redraws : int
        Number of redraws; 0 is "not tested".
    grid : Grid
        The travel grid.
    passage : (rows, cols) float32
        Net trips that cross a place [share of all trips per metre of front].
    pairs, routes, pinch_points, staging_spots, clusters, left_out, features
        See their classes; clusters in the order chosen.
    caught : float
        Share of trips within reach of any chosen cluster.
    drawn_m : tuple of (n, 2) float64
        A few dozen single trips to look at [m].
    dependences : tuple of Dependence
        What the result hangs on, largest first; empty if not tested.
    notes : tuple of str
        Facts short of failure.
    stages : tuple of Stage
        How the time went.
    trips : str
        What the shares of spots count: trips, or trips in legal light.
    """

    property_name: str
    fingerprint: str
    seed: int
    n_redraws: int
    grid: Grid
    passage: AnyArray
    pairs: tuple[Pair, ...]
    routes: tuple[Route, ...]
    pinch_points: tuple[PinchPoint, ...]
    staging_spots: tuple[StagingSpot, ...]
    clusters: tuple[Cluster, ...]
    left_out: tuple[LeftOut, ...]
    features: tuple[Feature, ...]
    caught: float
    drawn_m: tuple[FloatArray, ...]
    dependences: tuple[Dependence, ...]
    notes: tuple[str, ...]
    stages: tuple[Stage, ...]
    trips: str = "trips"
