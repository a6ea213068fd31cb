"""The part of drawn trips in legal light against the closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.catch import catch_of
from funnelfinder.daylight import Clock, Half, in_light
from funnelfinder.grid import Grid
from funnelfinder.trips import DrawnTrips

EVENING = Clock(
    half=Half.EVENING,
    bed_min=-25.0,
    spread_min=35.0,
    pace_m_min=12.0,
    wait_min=10.0,
    light_min=(-900.0, 30.0),
)
MORNING = replace(EVENING, half=Half.MORNING, bed_min=25.0, light_min=(-30.0, 900.0))
GRID = Grid(n_rows=20, n_cols=210, cell_m=10.0, west_m=-50.0, north_m=100.0, epsg=32617)
COVERED = np.zeros(GRID.shape, dtype=bool)
N = 2000


def straight(n: int = N, length_m: float = 2000.0) -> DrawnTrips:
    """Return equal trips along a straight line to the east."""
    x = np.arange(0.0, length_m + 1, 25.0)
    one = np.column_stack([x, np.zeros_like(x)])
    return DrawnTrips(
        points_m=np.tile(one, (n, 1)),
        first=np.arange(n + 1) * x.size,
        pair=np.zeros(n, dtype=np.int64),
        weight=np.full(n, 1 / n),
    )


@pytest.mark.parametrize("clock", [EVENING, MORNING], ids=["evening", "morning"])
@pytest.mark.parametrize("x_m", [100.0, 460.0, 700.0, 1300.0])
def test_catch_of_the_lit_part_is_the_share_in_closed_form(clock, x_m):
    part = in_light(straight(), [clock], GRID, COVERED, seed=3)
    assert catch_of(np.array([[x_m, 0.0]]), part, 1e-6) == pytest.approx(
        float(clock.light_share(np.array(x_m))), abs=2 / N
    )


def test_in_the_evening_trips_wait_where_the_open_begins():
    is_open = COVERED.copy()
    is_open[:, 65:] = True  # from 600 m on
    part = in_light(straight(), [EVENING], GRID, is_open, seed=3)
    for x_m, out in ((580.0, 0.0), (700.0, 1.0)):
        assert catch_of(np.array([[x_m, 0.0]]), part, 1e-6) == pytest.approx(
            float(EVENING.light_share(np.array(x_m), np.array(out))), abs=2 / N
        )


def test_two_clocks_give_their_mean_and_each_half_of_the_trips_knows_both():
    part = in_light(straight(), [EVENING, MORNING], GRID, COVERED, seed=3)
    later = replace(MORNING, bed_min=120.0)
    unlike = in_light(straight(), [EVENING, later], GRID, COVERED, seed=3)
    at = np.array([[600.0, 0.0]])
    mean = np.mean([float(one.light_share(np.array(600.0))) for one in (EVENING, MORNING)])
    assert catch_of(at, part, 1e-6) == pytest.approx(mean, abs=4 / N)
    wanted = np.mean([float(one.light_share(np.array(600.0))) for one in (EVENING, later)])
    for half in (0, 1):
        assert catch_of(at, unlike.half(half), 1e-6) == pytest.approx(wanted, abs=0.04)


def test_a_trip_in_the_dark_is_caught_nowhere_and_one_in_full_light_everywhere():
    night = replace(EVENING, bed_min=900.0, light_min=(-900.0, 30.0))
    noon = replace(EVENING, bed_min=-700.0)
    dark = in_light(straight(), [night], GRID, COVERED, seed=1)
    light = in_light(straight(), [noon], GRID, COVERED, seed=1)
    every = np.array([[x, 0.0] for x in range(0, 2001, 100)])
    assert catch_of(every, dark, 30.0) == 0.0
    assert all(catch_of(point[None], light, 1e-6) == pytest.approx(1.0) for point in every)
    assert np.array_equal(light.points_m, straight().points_m)


def test_the_same_seed_gives_the_same_parts_and_weights_stay():
    first, second = (in_light(straight(), [EVENING], GRID, COVERED, seed=9) for _ in range(2))
    assert np.array_equal(first.points_m, second.points_m)
    assert first.weight.sum() == pytest.approx(1.0)
    assert first.lengths_m().max() <= straight().lengths_m().max()
