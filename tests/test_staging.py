"""Staging spots lie in cover near food, where trips come in."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.cost import cost_surface
from funnelfinder.marks import MarkKind
from funnelfinder.staging import spaced_peaks, staging_ground, staging_spots
from funnelfinder.trips import draw_trips, factor, pair_trips
from tests import scenes


def field(x, y):
    """A field in the east of woods."""
    return np.where((x > 500) & (x < 700) & (y > 200) & (y < 400), 82, 41)


@pytest.fixture(scope="module")
def found():
    outline = scenes.polygon((500, 200), (700, 200), (700, 400), (500, 400))
    place, grids = scenes.scene(
        cover=field,
        marks=[
            scenes.mark(MarkKind.BED, scenes.disc(150, 300), "Bed"),
            scenes.mark(MarkKind.FOOD, outline, "Beans", crop="beans"),
        ],
    )
    ground = scenes.ground_of(place, grids)
    solver = factor(cost_surface(ground, place.settings.cost), 0.02)
    pairs = pair_trips(solver, ground.beds, ground.foods, np.array([[1.0]]))
    drawn = draw_trips(pairs, place.settings.trips, seed=1)
    return place, ground, pairs, drawn


def test_staging_ground_is_woods_18_to_100_m_from_the_edge(found):
    place, ground, _, _ = found
    food = ground.foods[0]
    mask = staging_ground(ground, food, place.settings.scrapes)
    rows, cols = np.nonzero(mask)
    points = shapely.points(ground.grid.points_m(rows, cols))
    away = shapely.distance(food.mark.geometry, points)
    # 20 to 110 yards.
    assert away.min() >= 18.2
    assert away.max() <= 100.6
    assert away.min() < 30.0
    assert away.max() > 90.0
    assert ground.is_woody[mask].all()


def test_spots_lie_on_the_way_in(found):
    place, ground, pairs, drawn = found
    spots = staging_spots(ground, pairs, drawn, place.settings.scrapes)
    assert 1 <= len(spots) <= 3
    assert [one.share for one in spots] == sorted((one.share for one in spots), reverse=True)
    best = spots[0]
    assert best.food == "Beans"
    assert best.share > 0.2
    # The bed lies west of the field, and so does the best spot.
    x, y = np.array([best.x_m, best.y_m]) - scenes.corner(0, 0)
    assert x < 490.0
    assert abs(y - 300.0) < 80.0
    assert 18.0 < best.edge_m < 101.0


@given(
    values=st.lists(st.floats(0.0, 1.0), min_size=1, max_size=30),
    apart=st.floats(1.0, 80.0),
    seed=st.integers(0, 99),
)
def test_peaks_lie_apart_and_fall_in_value(values, apart, seed):
    points = np.random.default_rng(seed).uniform(0, 100, (len(values), 2))
    chosen = spaced_peaks(points, np.array(values), apart)
    heights = [values[k] for k in chosen]
    assert heights == sorted(heights, reverse=True)
    for i, one in enumerate(chosen):
        for other in chosen[:i]:
            assert np.hypot(*(points[one] - points[other])) >= apart
    # Whatever was not chosen is worth nothing or lies near something better.
    for k, value in enumerate(values):
        if value > 0 and k not in chosen:
            better = [c for c in chosen if values[c] >= value]
            assert np.hypot(*(points[better] - points[k]).T).min() < apart
