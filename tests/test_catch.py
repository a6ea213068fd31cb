"""Which trips pass within reach, against plain geometry."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.catch import catch_of, catches
from funnelfinder.trips import DrawnTrips


def made_trips(n_trips: int, seed: int, weights: tuple[float, ...] = (1.0,)) -> DrawnTrips:
    """Random trips of two to six points in 1000 m × 1000 m, shared among pairs."""
    rng = np.random.default_rng(seed)
    counts = rng.integers(2, 7, n_trips)
    pair = np.sort(rng.integers(0, len(weights), n_trips))
    weight = np.array(weights)[pair]
    return DrawnTrips(
        points_m=rng.uniform(0, 1000, (counts.sum(), 2)),
        first=np.concatenate(([0], np.cumsum(counts))),
        pair=pair,
        weight=weight / weight.sum(),
    )


def by_geometry(points: np.ndarray, drawn: DrawnTrips, reach: float) -> np.ndarray:
    """The same by an outside geometry library, (places, trips)."""
    trips = [shapely.LineString(drawn.trip_m(k)) for k in range(drawn.n_trips)]
    return np.array([shapely.distance(trips, shapely.Point(xy)) <= reach for xy in points])


@given(
    n_trips=st.integers(1, 150),
    n_places=st.integers(1, 20),
    reach=st.floats(1.0, 300.0),
    seed=st.integers(0, 999),
)
def test_shares_agree_with_an_outside_geometry_library(
    n_trips: int, n_places: int, reach: float, seed: int
) -> None:
    drawn = made_trips(n_trips, seed, (1.0, 3.0))
    points = np.random.default_rng(seed + 1).uniform(-100, 1100, (n_places, 2))
    table = catches(points, drawn, reach)
    hit = by_geometry(points, drawn, reach)
    np.testing.assert_allclose(table.share_of_each(), hit @ drawn.weight, atol=1e-12)
    both = np.arange(n_places)
    assert table.share_of_union(both) == pytest.approx(hit.any(axis=0) @ drawn.weight)


@given(seed=st.integers(0, 99), reach=st.floats(5.0, 200.0), more=st.floats(0.0, 100.0))
def test_a_wider_reach_never_lowers_catch(seed: int, reach: float, more: float) -> None:
    drawn = made_trips(80, seed)
    points = np.random.default_rng(seed).uniform(0, 1000, (3, 2))
    assert catch_of(points, drawn, reach + more) >= catch_of(points, drawn, reach) - 1e-12


def test_trips_already_taken_do_not_count_again() -> None:
    drawn = made_trips(200, 4)
    points = np.array([[500.0, 500.0], [500.0, 500.0]])
    table = catches(points, drawn, 150.0)
    taken = table.union(np.array([0]))
    assert table.share_of_each()[1] > 0
    assert table.share_of_each(taken)[1] == 0.0


def test_no_place_catches_nothing() -> None:
    assert catch_of(np.zeros((0, 2)), made_trips(5, 1), 30.0) == 0.0
