"""Rates of trips from camera counts: one rate in closed form, several by Gibbs sampling.

A camera sees the trips of every pair that passes it, so its rate is a sum, for which the Gamma is
not conjugate. Each count is split among the pairs by a multinomial draw, given the rates, and the
rates are drawn anew given the split [1]_. A factor for each camera, Gamma with mean 1, lets counts
scatter more than Poisson: cameras 100 m apart were found to differ widely [2]_.

References
----------
.. [1] M. A. Tanner and W. H. Wong, "The calculation of posterior distributions by data
   augmentation", J. Am. Stat. Assoc. 82, 528-540, 1987.
.. [2] J. M. Kolowski, J. Oley and W. J. McShea, "High-density camera trap grid reveals lack of
   consistency in detection and capture rates across space and time", Ecosphere 12, 2021.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import stats

from funnelfinder.errors import RecordError
from funnelfinder.grid import frozen
from funnelfinder.kernels import FloatArray

#: Prior of a rate, trips a night: mean 0.3 (common practice, no source).
PRIOR_SHAPE: Final = 1.0
PRIOR_NIGHTS: Final = 3.3
#: Shape of the factor of a camera; 2 lets cameras differ by a factor of about 2 (judgement).
SITE_SHAPE: Final = 2.0
_N_DROPPED: Final = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraCount:
    """What one camera recorded.

    ``n_visits`` deer visits in ``nights`` camera-nights; ``catch`` is the share of each pair's
    trips that pass within its reach, in the order of the pairs.
    """

    n_visits: int
    nights: float
    catch: tuple[float, ...]

    def __post_init__(self) -> None:
        if self.n_visits < 0 or not 0 < self.nights < float("inf"):
            raise RecordError(
                f"{self.n_visits} visits in {self.nights} nights cannot be.",
                where="camera",
                remedy="Give visits from 0 and nights above 0.",
            )
        if not self.catch or any(not 0 <= share <= 1 for share in self.catch):
            raise RecordError("A catch is not between 0 and 1.", where="camera")
        if self.n_visits and not any(self.catch):
            raise RecordError(
                "It recorded deer where no trip of the model passes.",
                where="camera",
                remedy="Mark the bed or food that these deer use, and run again.",
            )


@dataclass(frozen=True, kw_only=True)
class Rates:
    """Trips a night of each pair.

    ``draws`` is (draws, pairs) from the posterior; ``mean``, ``low`` and ``high`` are (pairs,),
    the ends those of the middle 95 of 100.
    """

    draws: FloatArray
    mean: FloatArray
    low: FloatArray
    high: FloatArray


def rate_interval(
    n_visits: int, nights: float, *, shape: float = PRIOR_SHAPE, prior_nights: float = PRIOR_NIGHTS
) -> tuple[float, float, float]:
    """Return mean and 95 % interval of one rate [visits a night], Gamma prior.

    Examples
    --------
    >>> [round(one, 4) for one in rate_interval(7, 21, shape=1, prior_nights=10)]
    [0.2581, 0.1114, 0.4652]
    """
    posterior = stats.gamma(shape + n_visits, scale=1.0 / (prior_nights + nights))
    low, high = posterior.ppf([0.025, 0.975])
    return float(posterior.mean()), float(low), float(high)


def next_nights_without(
    n_visits: int,
    nights: float,
    next_nights: float,
    *,
    shape: float = PRIOR_SHAPE,
    prior_nights: float = PRIOR_NIGHTS,
) -> float:
    """Return the chance that the next nights bring no visit.

    Examples
    --------
    >>> round(next_nights_without(7, 21, 7, shape=1, prior_nights=10), 4)
    0.1962
    """
    known = prior_nights + nights
    return float((known / (known + next_nights)) ** (shape + n_visits))


def exact_interval(n_visits: int, nights: float) -> tuple[float, float]:
    """Return the exact 95 % Poisson interval of a rate, without a prior.

    Examples
    --------
    >>> [round(one, 4) for one in exact_interval(7, 21)]
    [0.134, 0.6868]
    """
    low = stats.chi2.ppf(0.025, 2 * n_visits) / 2 if n_visits else 0.0
    high = stats.chi2.ppf(0.975, 2 * n_visits + 2) / 2
    return float(low / nights), float(high / nights)


def share_interval(n_by_day: int, n_visits: int) -> tuple[float, float, float]:
    """Return mean and 95 % interval of the share of visits by day, even prior.

    Examples
    --------
    >>> [round(one, 4) for one in share_interval(3, 20)]
    [0.1818, 0.0545, 0.3634]
    """
    posterior = stats.beta(1 + n_by_day, 1 + n_visits - n_by_day)
    low, high = posterior.ppf([0.025, 0.975])
    return float(posterior.mean()), float(low), float(high)


def pair_rates(
    cameras: Sequence[CameraCount],
    rng: np.random.Generator,
    *,
    n_draws: int = 4000,
    shape: float = PRIOR_SHAPE,
    prior_nights: float | FloatArray = PRIOR_NIGHTS,
    site_shape: float | None = SITE_SHAPE,
) -> Rates:
    """Return which pairs are walked, and how often.

    Parameters
    ----------
    cameras : sequence of CameraCount
        At least one; all with a catch for the same pairs.
    rng : numpy.random.Generator
        Seeded, so that it can be repeated.
    n_draws : int
        Draws kept.
    shape : float
        Shape of the Gamma prior of each rate.
    prior_nights : float or (pairs,) float64
        Its nights: the mean of the prior is shape over nights [trips a night].
    site_shape : float, optional
        Shape of the Gamma factor of each camera; None lets all cameras see alike.

    Raises
    ------
    RecordError
        If there is no camera, or they know different pairs.
    """
    if not cameras or len({len(one.catch) for one in cameras}) != 1:
        raise RecordError("No camera, or cameras that know different pairs.", where="cameras")
    catch = np.array([one.catch for one in cameras], dtype=np.float64)
    nights = np.array([one.nights for one in cameras])
    visits = np.array([one.n_visits for one in cameras])
    rates = np.full(catch.shape[1], 1.0) * shape / prior_nights
    factor = np.ones(len(cameras))
    kept = np.empty((n_draws, catch.shape[1]))
    for number in range(_N_DROPPED + n_draws):
        split = _split(visits, catch * rates, rng)
        seen = (nights * factor) @ catch
        rates = rng.gamma(shape + split, 1.0 / (prior_nights + seen))
        if site_shape is not None:
            expected = nights * (catch @ rates)
            factor = rng.gamma(site_shape + visits, 1.0 / (site_shape + expected))
        if number >= _N_DROPPED:
            kept[number - _N_DROPPED] = rates
    low, high = np.quantile(kept, [0.025, 0.975], axis=0)
    return Rates(
        draws=frozen(kept), mean=frozen(kept.mean(axis=0)), low=frozen(low), high=frozen(high)
    )


def _split(visits: np.ndarray, weight: FloatArray, rng: np.random.Generator) -> FloatArray:
    """Return how many visits of all cameras fall to each pair, drawn by the pairs' weights."""
    total = weight.sum(axis=1, keepdims=True)
    # A camera that no pair passes recorded nothing; any chances will do.
    chance = np.where(total > 0, weight / np.where(total > 0, total, 1.0), 1.0 / weight.shape[1])
    return np.asarray(rng.multinomial(visits, chance).sum(axis=0), dtype=np.float64)
