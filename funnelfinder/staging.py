"""Where trips gather in cover before they step out to feed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from funnelfinder.catch import catches
from funnelfinder.defaults import ScrapeSettings
from funnelfinder.ground import Ground, Patch
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import DOES_BED
from funnelfinder.trips import DrawnTrips, PairTrips

#: Most staging spots of one food source, and the least share of its trips (judgement).
_MOST_SPOTS = 3
_LEAST_SHARE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class StagingSpot:
    """A place in cover near a food source.

    ``share`` is the share of all trips that pass within reach on their way to ``food``;
    ``edge_m`` the distance to the edge of the food source [m]; ``trips`` what the share counts.
    """

    x_m: float
    y_m: float
    share: float
    food: str
    edge_m: float
    trips: str = "trips"


def staging_ground(ground: Ground, food: Patch, settings: ScrapeSettings) -> BoolArray:
    """Return the woody cells within the staging distance of a food source's edge."""
    from_edge = _edge_distance_m(ground, food)
    near, far = settings.staging_near_m, settings.staging_far_m
    return np.asarray(
        ground.is_woody & ~ground.is_removed & (from_edge >= near) & (from_edge <= far)
    )


def _edge_distance_m(ground: Ground, food: Patch) -> FloatArray:
    """Return the distance of each cell to a food source's outline; 0 inside [m]."""
    rows, cols = np.indices(ground.grid.shape)
    points = ground.grid.points_m(rows, cols)
    west, south, east, north = food.mark.geometry.bounds
    edge = 200.0
    near = (
        (points[:, 0] > west - edge)
        & (points[:, 0] < east + edge)
        & (points[:, 1] > south - edge)
        & (points[:, 1] < north + edge)
    )
    distance = np.full(points.shape[0], np.inf)
    distance[near] = shapely.distance(food.mark.geometry, shapely.points(points[near]))
    return distance.reshape(ground.grid.shape)


def staging_spots(
    ground: Ground,
    pairs: Sequence[PairTrips],
    drawn: DrawnTrips,
    settings: ScrapeSettings,
) -> tuple[StagingSpot, ...]:
    """Return where trips gather before they step out, best first.

    Parameters
    ----------
    ground : Ground
        Cover and boundary.
    pairs : sequence of PairTrips
        In the order that ``drawn`` counts them.
    drawn : DrawnTrips
        Single trips.
    settings : ScrapeSettings
        Reach, staging distances, and how far spots lie apart.

    Returns
    -------
    tuple of StagingSpot
        On the property, at most three a food source.
    """
    foods = {pair.food.mark.key: pair.food for pair in pairs if pair.food.mark.crop != DOES_BED}
    found = [
        spot for food in foods.values() for spot in _spots_of(ground, food, pairs, drawn, settings)
    ]
    return tuple(sorted(found, key=lambda spot: -spot.share))


def _spots_of(
    ground: Ground,
    food: Patch,
    pairs: Sequence[PairTrips],
    drawn: DrawnTrips,
    settings: ScrapeSettings,
) -> list[StagingSpot]:
    """Return the staging spots of one food source."""
    cells = np.argwhere(
        staging_ground(ground, food, settings) & ground.is_inside & ~ground.is_kept_off
    )
    if not cells.size:
        return []
    points = ground.grid.points_m(cells[:, 0], cells[:, 1])
    table = catches(points, drawn, settings.reach_m)
    own = [number for number, pair in enumerate(pairs) if pair.food is food]
    weight = np.where(np.isin(_pair_of_word(drawn), own), table.word_weight, 0.0)
    shares = _shares(table.bits, weight)
    total = sum(pairs[number].demand for number in own)
    spots = []
    for place in spaced_peaks(points, shares, settings.clusters_apart_m)[:_MOST_SPOTS]:
        if shares[place] >= _LEAST_SHARE * total:
            x_m, y_m = points[place]
            edge = food.mark.geometry.distance(shapely.Point(x_m, y_m))
            spots.append(
                StagingSpot(
                    x_m=float(x_m),
                    y_m=float(y_m),
                    share=float(shares[place]),
                    food=food.label,
                    edge_m=float(edge),
                    trips=settings.trips_counted.words,
                )
            )
    return spots


def _pair_of_word(drawn: DrawnTrips) -> AnyArray:
    """Return which pair each word of trips belongs to."""
    pairs, counts = np.unique(drawn.pair, return_counts=True)
    return np.repeat(pairs, -(-counts // 64))


def _shares(bits: AnyArray, weight: FloatArray) -> FloatArray:
    """Return the weighted number of trips of each place."""
    return np.asarray(np.bitwise_count(bits) @ weight)


def spaced_peaks(points_m: FloatArray, values: FloatArray, apart_m: float) -> list[int]:
    """Return places by falling value, each at least ``apart_m`` from those before it.

    Examples
    --------
    >>> spaced_peaks(np.array([[0.0, 0.0], [5.0, 0.0], [50.0, 0.0]]), np.array([1.0, 2.0, 0.5]), 10)
    [1, 2]
    """
    chosen: list[int] = []
    is_free = values > 0
    while is_free.any():
        best = int(np.argmax(np.where(is_free, values, -np.inf)))
        chosen.append(best)
        is_free &= np.hypot(*(points_m - points_m[best]).T) >= apart_m
    return chosen
