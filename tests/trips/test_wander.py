"""From wander in yards to what the equations take."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.trips import kappa_per_m, spread_half_way_m, usable_wander_m

ALL = np.ones((4, 4), dtype=bool)


@given(wander_m=st.floats(10.0, 200.0))
def test_wander_is_the_spread_half_way_along_400_yards(wander_m: float):
    assert spread_half_way_m(kappa_per_m(wander_m), 365.76) == pytest.approx(wander_m)


def test_published_spreads_of_bridges():
    # Horne et al. 2007, Ecology 88:2354: variance sigma² t (T - t) / T; half way ½ √(L / κ).
    assert spread_half_way_m(0.08, 365.76) == pytest.approx(33.81, abs=0.005)
    assert spread_half_way_m(0.08, 900.0) == pytest.approx(53.03, abs=0.005)


def test_wander_is_raised_where_dear_ground_cannot_show_it():
    cost = np.full((4, 4), 4.0)
    wander, notes = usable_wander_m(30.0, cost, 10.0, ALL)
    assert wander == pytest.approx(7.4 * np.sqrt(40.0))
    assert len(notes) == 1
    assert "Wander was raised from 33 yards to 51 yards" in notes[0]
    assert usable_wander_m(60.0, cost, 10.0, ALL) == (60.0, ())


def test_only_ground_where_trips_run_counts():
    cost = np.ones((4, 4))
    cost[0] = 50.0
    cost[1, 0] = np.nan
    where = ALL.copy()
    where[0] = False
    assert usable_wander_m(30.0, cost, 10.0, where) == (30.0, ())
