"""What rates of pairs mean for spots: their shares before and after the cameras, with intervals."""

from __future__ import annotations

from typing import Final

import numpy as np

from funnelfinder.evidence.rates import PRIOR_NIGHTS, PRIOR_SHAPE, Rates
from funnelfinder.grid import frozen
from funnelfinder.kernels import FloatArray

_N_PRIOR: Final = 4000
_ENDS: Final = (0.025, 0.975)


def prior_nights(demand: FloatArray, usual_catch: float) -> FloatArray:
    """Return the nights of each pair's prior, so that its mean is what the model says.

    The model knows how trips are shared among pairs, not how many there are: the prior says that
    a camera at a usual spot has the usual visits a night (0.3; common practice, no source).

    Parameters
    ----------
    demand : (pairs,) float64
        Share of all trips of each pair.
    usual_catch : float
        Share of all trips that a usual spot catches.
    """
    trips_a_night = PRIOR_SHAPE / PRIOR_NIGHTS / max(usual_catch, 0.01)
    return np.asarray(PRIOR_SHAPE / (trips_a_night * np.maximum(demand, 1e-6)))


def prior_rates(nights: FloatArray, rng: np.random.Generator) -> Rates:
    """Return the rates as the prior has them, before any camera."""
    draws = rng.gamma(PRIOR_SHAPE, 1.0 / nights, size=(_N_PRIOR, nights.size))
    low, high = np.quantile(draws, _ENDS, axis=0)
    return Rates(
        draws=frozen(draws),
        mean=frozen(PRIOR_SHAPE / nights),
        low=frozen(low),
        high=frozen(high),
    )


def spot_shares(rates: Rates, catch: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the share of all trips that each spot catches, and the ends of the middle 95 of 100.

    The share itself is that of the mean rates, so that the prior gives back the model's share.

    Parameters
    ----------
    rates : Rates
        Trips a night of each pair.
    catch : (spots, pairs) float64
        Share of each pair's own trips that each spot catches.
    """
    share = catch @ rates.mean / rates.mean.sum()
    drawn = rates.draws @ catch.T / rates.draws.sum(axis=1, keepdims=True)
    low, high = np.quantile(drawn, _ENDS, axis=0)
    return np.asarray(share), np.asarray(low), np.asarray(high)


def ranks(shares: FloatArray) -> tuple[int, ...]:
    """Return the place of each spot when the largest share comes first, from 1.

    Examples
    --------
    >>> ranks(np.array([0.1, 0.3, 0.2]))
    (3, 1, 2)
    """
    order = np.argsort(-shares, kind="stable")
    found = np.empty(shares.size, dtype=np.int64)
    found[order] = np.arange(1, shares.size + 1)
    return tuple(int(one) for one in found)


def expected_visits(
    rates: Rates,
    catch: FloatArray,
    nights: float,
    site_shape: float,
    rng: np.random.Generator,
) -> tuple[float, float, float]:
    """Return how many visits the rates let expect at a camera: mean, and the middle 95 of 100.

    Parameters
    ----------
    rates : Rates
        Trips a night of each pair.
    catch : (pairs,) float64
        Share of each pair's trips within the camera's reach.
    nights : float
        Camera-nights.
    site_shape : float
        Shape of the Gamma factor of a camera.
    rng : numpy.random.Generator
        Seeded, so that it can be repeated.
    """
    mean = nights * (rates.draws @ catch)
    drawn = rng.poisson(mean * rng.gamma(site_shape, 1.0 / site_shape, size=mean.size))
    low, high = np.quantile(drawn, _ENDS)
    return float(mean.mean()), float(low), float(high)
