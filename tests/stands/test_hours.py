"""When a person walks, and which trips are still to come or under way then."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from funnelfinder.daylight import Half
from funnelfinder.stands.hours import (
    crossed,
    stepping_out_m,
    to_come_per_m,
    under_way,
    walk_at,
    walk_min,
)
from funnelfinder.trips import DrawnTrips
from funnelfinder.wind import walks_of
from tests.stands import ready

EVENING, MORNING = Half


def straight():
    """What stands are judged on with one trip alone: 600 m due east, all in cover."""
    _, _, base = ready.found()
    drawn = DrawnTrips(
        points_m=np.array([[0.0, 0.0], [300.0, 0.0], [600.0, 0.0]]),
        first=np.array([0, 3]),
        pair=np.array([0]),
        weight=np.array([1.0]),
    )
    walks = walks_of(drawn)
    out = np.zeros(len(walks.points_m), dtype=bool)
    return replace(base, drawn=drawn, walks=walks, has_stepped_out=out)


def test_the_hours_of_the_four_walks_are_those_of_the_settings():
    _, _, base = ready.found()
    own, light = base.settings.stands, base.settings.daylight
    assert walk_min(base, EVENING, is_out=False) == -own.walk_in_before_sunset_min
    assert walk_min(base, EVENING, is_out=True) == light.legal_after_min + 10
    assert walk_min(base, MORNING, is_out=False) == -light.legal_before_min - 45
    assert walk_min(base, MORNING, is_out=True) == 180
    out = walk_at(base, EVENING, is_out=True)
    assert (out - base.day.sunset).total_seconds() == 40 * 60


@pytest.mark.parametrize("at_min", [-150.0, 25.0, 40.0, 200.0])
def test_by_hand_who_is_still_to_come_across_a_track(at_min):
    """Leaves 25 min before sunset, sd 35; 300 m at 12 m/min later it is at the track: 0 ± 35."""
    base, walk = straight(), np.array([[300.0, -50.0], [300.0, 50.0]])
    share, to_come = crossed(base, stepping_out_m(base), walk, EVENING, at_min)
    assert share == 1.0
    assert to_come == pytest.approx(norm.sf(at_min, 0.0, 35.0))
    # Home at 25 min after sunrise, and at the track as long before.
    _, home = crossed(base, stepping_out_m(base), walk, MORNING, at_min)
    assert home == pytest.approx(norm.sf(at_min, 0.0, 35.0))


def test_a_trip_that_crosses_twice_counts_with_the_last_time():
    base = straight()
    walk = np.array([[100.0, -50.0], [100.0, 50.0], [500.0, 50.0], [500.0, -50.0]])
    _, to_come = crossed(base, stepping_out_m(base), walk, EVENING, 0.0)
    assert to_come == pytest.approx(norm.sf(0.0, -25 + 500 / 12, 35.0))
    _, home = crossed(base, stepping_out_m(base), walk, MORNING, 0.0)
    assert home == pytest.approx(norm.sf(0.0, 25 - 100 / 12, 35.0))


def test_a_walk_beside_all_trips_crosses_none():
    base = straight()
    walk = np.array([[0.0, 10.0], [600.0, 10.0]])
    assert crossed(base, stepping_out_m(base), walk, EVENING, 0.0) == (0.0, 0.0)


@pytest.mark.parametrize("at_min", [-30.0, 0.0, 30.0])
def test_by_hand_the_share_under_way(at_min):
    """Under way at t: left before t and not at the food yet, 50 minutes later."""
    points, shares = under_way(straight(), EVENING, at_min)
    wanted = norm.cdf(at_min, -25, 35) - norm.cdf(at_min - 50, -25, 35)
    assert shares.sum() == pytest.approx(wanted, abs=0.005)
    assert (points[:, 1] == 0).all()
    # Where it is at t, in the mean over those under way.
    walked = np.linspace(0, 600, 6001)
    weight = norm.pdf(at_min - walked / 12, -25, 35)
    assert points[:, 0].mean() == pytest.approx(np.average(walked, weights=weight), abs=15)


def test_long_before_and_after_nobody_is_under_way():
    _, _, base = ready.found()
    for at_min in (-400.0, 600.0):
        points, shares = under_way(base, EVENING, at_min)
        assert points.shape == (0, 2)
        assert shares.sum() == 0.0


@pytest.mark.parametrize("half", Half)
def test_fewer_are_still_to_come_the_later_it_is(half):
    _, _, base = ready.found()
    totals = [to_come_per_m(base, half, at_min).sum() for at_min in (-600.0, 0.0, 60.0, 600.0)]
    assert totals == sorted(totals, reverse=True)
    every = sum(pair.demand * pair.density_per_m for pair in base.pairs).sum()
    assert totals[0] == pytest.approx(every, rel=1e-3)
    assert totals[-1] < 1e-6 * totals[0]
