"""Shares of spots from rates: the prior gives back the model, and draws their spread."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from funnelfinder.evidence import (
    CameraCount,
    expected_visits,
    pair_rates,
    prior_nights,
    prior_rates,
    ranks,
    spot_shares,
)

DEMAND = np.array([0.6, 0.3, 0.1])
CATCH = np.array([[0.5, 0.0, 0.0], [0.1, 0.4, 0.9], [0.0, 0.0, 0.0]])


def test_the_prior_is_the_model():
    rates = prior_rates(prior_nights(DEMAND, 0.2), np.random.default_rng(1))
    assert rates.mean / rates.mean.sum() == pytest.approx(DEMAND)
    # 0.3 visits a night (common practice, no source) where 20 of 100 trips pass.
    assert rates.mean.sum() * 0.2 == pytest.approx(1 / 3.3)
    share, low, high = spot_shares(rates, CATCH)
    assert share == pytest.approx(CATCH @ DEMAND)
    assert (low <= share).all()
    assert (share <= high).all()
    # One exponential rate: the middle 95 of 100 in closed form.
    assert rates.low == pytest.approx(rates.mean * -np.log(0.975), rel=0.15)
    assert rates.high == pytest.approx(rates.mean * -np.log(0.025), rel=0.08)


def test_much_evidence_overrules_the_model():
    cameras = [
        CameraCount(n_visits=2, nights=100.0, catch=(0.5, 0.0, 0.0)),
        CameraCount(n_visits=60, nights=100.0, catch=(0.0, 0.5, 0.0)),
    ]
    nights = prior_nights(DEMAND, 0.2)
    after = pair_rates(cameras, np.random.default_rng(2), prior_nights=nights)
    share, _, high = spot_shares(after, np.eye(3))
    assert share[1] > 2 * DEMAND[1]
    assert high[0] < DEMAND[0]
    before = spot_shares(prior_rates(nights, np.random.default_rng(3)), CATCH)[0]
    assert (ranks(before)[:2], ranks(spot_shares(after, CATCH)[0])[:2]) == ((1, 2), (2, 1))


@given(st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_ranks_are_the_places_in_order_of_share(shares):
    found = ranks(np.array(shares))
    assert sorted(found) == list(range(1, len(shares) + 1))
    by_place = [share for _, share in sorted(zip(found, shares, strict=True), key=lambda p: p[0])]
    assert by_place == sorted(shares, reverse=True)


def test_expected_visits_scatter_as_a_negative_binomial():
    rates = prior_rates(np.array([1e9]), np.random.default_rng(4))
    fixed = np.full_like(rates.draws, 0.5)
    sure = type(rates)(draws=fixed, mean=fixed[0], low=fixed[0], high=fixed[0])
    mean, low, high = expected_visits(sure, np.array([0.4]), 50.0, 2.0, np.random.default_rng(5))
    # Poisson of mean 10 whose mean is scattered by Gamma(2, 1/2): negative binomial (scipy).
    truth = stats.nbinom(2.0, 2.0 / 12.0)
    assert mean == pytest.approx(10.0)
    assert (low, high) == pytest.approx(truth.ppf([0.025, 0.975]), abs=2)
