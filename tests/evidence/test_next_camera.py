"""What a next camera leaves of the spread, against brute force and closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.errors import RecordError
from funnelfinder.evidence import (
    CameraCount,
    Rates,
    pair_rates,
    prior_rates,
    spread_after,
    spread_of,
)


def test_one_pair_agrees_with_the_closed_form():
    """Gamma(a, b) and Poisson(n c r), all cameras alike: the variance left is a / (b (b + n c))."""
    rates = prior_rates(np.array([2.0]), np.random.default_rng(1))
    left = spread_after(rates, np.array([[0.5]]), nights=20.0, site_shape=1e7)
    # Law of total variance, a 1, b 2, n c 10.
    assert left[0] == pytest.approx(np.sqrt(1 / (2 * 12)), rel=0.06)
    assert spread_of(rates) == pytest.approx(0.5, rel=0.05)


CAMERAS = (
    CameraCount(n_visits=9, nights=20.0, catch=(0.8, 0.2)),
    CameraCount(n_visits=3, nights=30.0, catch=(0.4, 0.4)),
)


def test_two_pairs_agree_with_cameras_hung_many_times_over():
    """Brute force: draw rates, draw counts, sample anew by Gibbs, and take the mean variance."""
    now = pair_rates(CAMERAS, np.random.default_rng(2), n_draws=4000)
    places = np.array([[0.0, 0.7], [0.3, 0.3]])
    found = spread_after(now, places, nights=30.0)
    rng = np.random.default_rng(3)
    for place, expected in zip(places, found, strict=True):
        left = []
        for rates in now.draws[:: len(now.draws) // 40]:
            count = rng.poisson(30.0 * rng.gamma(2.0, 0.5) * float(place @ rates))
            more = CameraCount(n_visits=count, nights=30.0, catch=tuple(map(float, place)))
            after = pair_rates((*CAMERAS, more), rng, n_draws=300)
            left.append(after.draws.var(axis=0).sum())
        assert expected == pytest.approx(np.sqrt(np.mean(left)), rel=0.12)
    # The second pair is what nobody knows: the place that sees it alone tells more.
    assert found[0] < found[1] < spread_of(now)


@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=2),
    st.floats(1, 100),
)
def test_a_camera_never_leaves_more_spread_and_longer_tells_more(places, nights):
    rates = prior_rates(np.array([3.0, 6.0]), np.random.default_rng(4))
    short = spread_after(rates, np.array(places), nights=nights)
    long = spread_after(rates, np.array(places), nights=10 * nights)
    assert (short <= spread_of(rates) * (1 + 1e-9)).all()
    assert (long <= short * 1.01).all()


def test_a_place_that_no_trip_passes_tells_nothing():
    rates = prior_rates(np.array([3.0, 6.0]), np.random.default_rng(5))
    assert spread_after(rates, np.array([[0.0, 0.0]]))[0] == pytest.approx(spread_of(rates))


def test_no_nights_are_told():
    rates = Rates(draws=np.ones((2, 1)), mean=np.ones(1), low=np.ones(1), high=np.ones(1))
    with pytest.raises(RecordError, match="nights"):
        spread_after(rates, np.array([[0.5]]), nights=0.0)
