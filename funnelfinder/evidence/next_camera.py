"""Where the next camera would narrow the rates most.

A place is judged by the spread that would be left, on the average over all that its camera may
record (preposterior analysis [1]_). What it may record is drawn from the rates as they are known
now; each possible count weighs the drawn rates anew by its negative binomial chance, which is a
Poisson count whose mean is scattered by the camera's Gamma factor.

References
----------
.. [1] H. Raiffa and R. Schlaifer, Applied Statistical Decision Theory, Harvard 1961, chapter 4.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import betainc

from funnelfinder.errors import RecordError
from funnelfinder.evidence.rates import SITE_SHAPE, Rates
from funnelfinder.kernels import FloatArray

#: A camera's usual stay before its card is read (judgement).
NEXT_NIGHTS: Final = 14.0
_MOST_DRAWS: Final = 1000
#: Counts are reckoned up to the mean of the worst draw and so many of its spreads.
_N_SPREADS: Final = 6.0
_N_GROUPS: Final = 150


def spread_of(rates: Rates) -> float:
    """Return how unsure the rates are: the root of the sum of their variances [trips a night]."""
    return float(np.sqrt(rates.draws.var(axis=0).sum()))


def spread_after(
    rates: Rates,
    catch: FloatArray,
    *,
    nights: float = NEXT_NIGHTS,
    site_shape: float = SITE_SHAPE,
) -> FloatArray:
    """Return the spread to expect once a camera has hung at each place.

    Parameters
    ----------
    rates : Rates
        Trips a night of each pair, as known now.
    catch : (places, pairs) float64
        Share of each pair's trips within a camera's reach at each place.
    nights : float
        How long it will hang.
    site_shape : float
        Shape of the Gamma factor of a camera.

    Returns
    -------
    (places,) float64
        Expected root of the sum of variances [trips a night]; never more than `spread_of`.

    Raises
    ------
    RecordError
        If the nights are not above 0.
    """
    if not 0 < nights < float("inf"):
        raise RecordError(f"{nights} nights cannot be.", where="next camera")
    every = max(1, rates.draws.shape[0] // _MOST_DRAWS)
    draws = np.asarray(rates.draws[::every])
    left = [_left(draws, nights * (draws @ one), site_shape) for one in np.atleast_2d(catch)]
    known = draws.var(axis=0).sum()
    scale = spread_of(rates) / np.sqrt(known) if known > 0 else 1.0
    return np.asarray(np.sqrt(np.array(left)) * scale)


def _left(draws: FloatArray, mean: FloatArray, shape: float) -> float:
    """Return the variance that is left on the average over all counts of one place."""
    chance = _count_chances(mean, shape)
    total = chance.sum(axis=1, keepdims=True)
    weight = chance / total
    first, second = weight @ draws, weight @ draws**2
    variance = np.maximum(second - first**2, 0.0).sum(axis=1)
    return float((total[:, 0] / draws.shape[0]) @ variance)


def _count_chances(mean: FloatArray, shape: float) -> FloatArray:
    """Return the chance of each group of counts for each draw, (groups, draws).

    Small counts stand alone, larger ones in groups that widen with them; a group tells a trifle
    less than its counts would, and there are few of them however long a camera hangs.
    """
    spread = np.sqrt(mean + mean**2 / shape)
    most = max(float(np.max(mean + _N_SPREADS * spread)), 2.0)
    ends = np.unique(np.geomspace(1.0, most + 1.0, _N_GROUPS).astype(np.int64))
    counts = np.concatenate([[0], ends])[:, None].astype(np.float64)
    # The chance of so many or fewer, as the incomplete beta function.
    upto = betainc(shape, counts + 1.0, shape / (shape + mean[None, :]))
    chance = np.diff(upto, axis=0, prepend=0.0, append=1.0)
    every = np.maximum(chance, 0.0)
    return np.asarray(every[every.sum(axis=1) > 0])
