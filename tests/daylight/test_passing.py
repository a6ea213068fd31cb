"""Trips that pass a spot, and passage in legal light."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.cost import cost_surface
from funnelfinder.daylight import Clock, Half, daylight_passage_per_m, passing, passing_map
from funnelfinder.trips import factor, kappa_per_m, pair_trips, passage_per_m
from tests import scenes

CLOCK = Clock(
    half=Half.EVENING,
    bed_min=-25.0,
    spread_min=35.0,
    pace_m_min=12.0,
    wait_min=10.0,
    light_min=(-600.0, 30.0),
)


def test_two_trips_by_hand():
    """One of two equal trips comes after 660 m (the edge: half in light), the other never."""
    found = passing(np.array([660.0, np.nan]), np.array([0.5, 0.5]), CLOCK)
    assert found.share == 0.5
    assert found.light_share == pytest.approx(0.25, abs=1e-6)
    assert found.median_min == pytest.approx(30.0, abs=0.02)


def test_where_no_trip_comes_there_is_no_time():
    found = passing(np.array([np.nan]), np.array([1.0]), CLOCK)
    assert found.share == 0.0
    assert math.isnan(found.median_min)


def test_the_wait_before_open_ground_makes_it_later():
    out = passing(np.array([300.0]), np.array([1.0]), CLOCK, np.array([1.0]))
    assert out.median_min == pytest.approx(-25 + 25 + 10, abs=0.02)


def two_fields():
    """A ground with a field, and the trips of its pair."""
    place, grids = scenes.scene(
        marks=scenes.pair_marks(), cover=lambda x, y: np.where(x > 420, 82, 41)
    )
    ground = scenes.ground_of(place, grids)
    surface = cost_surface(ground, place.settings.cost)
    pairs = pair_trips(
        factor(surface, kappa_per_m(90.0)), ground.beds, ground.foods, np.array([[1.0]])
    )
    return ground, pairs


def test_daylight_passage_lies_below_passage_and_fades_toward_food():
    ground, pairs = two_fields()
    light, every = daylight_passage_per_m(pairs, CLOCK, ground.is_open), passage_per_m(pairs)
    assert (light <= every * (1 + 1e-6)).all()
    row = ground.grid.n_rows // 2
    cols = [int((100 + x) / ground.grid.cell_m) for x in (260, 400, 540)]
    kept = [light[row, col] / every[row, col] for col in cols]
    assert kept[0] > kept[1] > kept[2] > 0.3


@pytest.mark.parametrize("half", Half)
def test_the_map_is_the_closed_form_at_every_cell(half):
    """Against each cell's own share, as the flow says it: what is kept for sliding loses none."""
    ground, pairs = two_fields()
    kept = passing_map(pairs, ground.is_open)
    for bed_min in (-60.0, 0.0, 45.0):
        clock = replace(CLOCK, half=half, bed_min=bed_min, light_min=(-40.0, 30.0))
        (pair,) = pairs
        share = clock.light_share(pair.walked_m(), ground.is_open.astype(float))
        whole = np.where(np.isfinite(share), pair.density_per_m * share, 0.0)
        assert np.allclose(kept.in_light(clock), whole, rtol=1e-5, atol=1e-9)
