"""Rates from camera counts against closed forms and an integral on a grid."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from funnelfinder.errors import RecordError
from funnelfinder.evidence import (
    CameraCount,
    exact_interval,
    next_nights_without,
    pair_rates,
    rate_interval,
    share_interval,
)


def test_one_rate_in_closed_form():
    # Arithmetic of the Gamma-Poisson pair, done apart from this program.
    assert rate_interval(7, 21, shape=1, prior_nights=10) == pytest.approx(
        (0.2581, 0.1114, 0.4652), abs=5e-5
    )
    assert rate_interval(7, 21, shape=0.5, prior_nights=0) == pytest.approx(
        # Chi-square tables, 15 degrees of freedom: 6.262 and 27.488; over 2 × 21.
        (7.5 / 21, 6.262 / 42, 27.488 / 42),
        abs=5e-5,
    )
    assert next_nights_without(7, 21, 7, shape=1, prior_nights=10) == pytest.approx(
        0.1962, abs=5e-5
    )
    assert exact_interval(7, 21) == pytest.approx((0.1340, 0.6868), abs=5e-5)
    assert exact_interval(0, 10)[0] == 0.0
    assert share_interval(3, 20) == pytest.approx((0.1818, 0.0545, 0.3634), abs=5e-5)


def test_one_camera_and_one_pair_agree_with_the_closed_form():
    camera = CameraCount(n_visits=7, nights=21.0, catch=(1.0,))
    found = pair_rates([camera], np.random.default_rng(1), n_draws=20_000, site_shape=None)
    mean, low, high = rate_interval(7, 21)
    assert found.mean[0] == pytest.approx(mean, rel=0.02)
    assert (found.low[0], found.high[0]) == pytest.approx((low, high), rel=0.04)


CAMERAS = (
    CameraCount(n_visits=9, nights=20.0, catch=(0.8, 0.2)),
    CameraCount(n_visits=2, nights=30.0, catch=(0.1, 0.5)),
    CameraCount(n_visits=5, nights=15.0, catch=(0.4, 0.6)),
)


@pytest.mark.parametrize("site_shape", [None, 2.0])
def test_two_pairs_agree_with_an_integral_on_a_grid(site_shape):
    values = np.linspace(1e-4, 4.0, 500)
    first, second = np.meshgrid(values, values, indexing="ij")
    # The prior, Gamma(1, 3.3) for each rate, up to a constant.
    log = -3.3 * (first + second)
    for one in CAMERAS:
        expected = one.nights * (one.catch[0] * first + one.catch[1] * second)
        if site_shape is None:
            log = log + stats.poisson(expected).logpmf(one.n_visits)
        else:
            # A Poisson whose mean is scattered by a Gamma of mean 1 is negative binomial.
            chance = site_shape / (site_shape + expected)
            log = log + stats.nbinom(site_shape, chance).logpmf(one.n_visits)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    found = pair_rates(CAMERAS, np.random.default_rng(2), n_draws=20_000, site_shape=site_shape)
    for pair, grid in enumerate((first, second)):
        mean = float((weight * grid).sum())
        spread = float(np.sqrt((weight * (grid - mean) ** 2).sum()))
        assert found.mean[pair] == pytest.approx(mean, rel=0.04)
        assert found.draws[:, pair].std() == pytest.approx(spread, rel=0.06)


def test_scattered_cameras_leave_the_rates_less_sure():
    alike, scattered = (
        pair_rates(CAMERAS, np.random.default_rng(3), site_shape=shape) for shape in (None, 2.0)
    )
    assert ((scattered.high - scattered.low) > (alike.high - alike.low)).all()


def test_intervals_hold_the_truth_about_as_often_as_they_say():
    """95 of 100 intervals hold a rate drawn from the prior, by construction of the posterior."""
    rng = np.random.default_rng(4)
    n_held, n_tried = 0, 0
    for _ in range(60):
        rates = rng.gamma(1.0, 1 / 3.3, size=2)
        cameras = [
            CameraCount(
                n_visits=int(rng.poisson(25 * rng.gamma(2.0, 0.5) * np.dot(catch, rates))),
                nights=25.0,
                catch=catch,
            )
            for catch in ((0.9, 0.1), (0.3, 0.7), (0.5, 0.5), (0.0, 0.8))
        ]
        found = pair_rates(cameras, rng, n_draws=600)
        n_held += int(((found.low <= rates) & (rates <= found.high)).sum())
        n_tried += 2
    # 120 trials at 0.95: 107 or fewer has a chance below 0.01 (binomial).
    assert stats.binom(n_tried, 0.95).cdf(107) < 0.01
    assert n_held > 107


def test_the_same_seed_gives_the_same_rates():
    one, again = (pair_rates(CAMERAS, np.random.default_rng(5), n_draws=50) for _ in range(2))
    assert np.array_equal(one.draws, again.draws)


@pytest.mark.parametrize(
    ("n_visits", "nights", "catch"),
    [(-1, 5.0, (0.5,)), (1, 0.0, (0.5,)), (1, 5.0, ()), (1, 5.0, (1.5,)), (1, 5.0, (0.0, 0.0))],
)
def test_counts_that_cannot_be_are_told(n_visits, nights, catch):
    with pytest.raises(RecordError):
        CameraCount(n_visits=n_visits, nights=nights, catch=catch)


def test_cameras_of_different_pairs_are_told():
    other = CameraCount(n_visits=1, nights=5.0, catch=(0.5,))
    with pytest.raises(RecordError, match="different pairs"):
        pair_rates([CAMERAS[0], other], np.random.default_rng(6))
