"""From wander, which people set in yards, to κ, which the equations take."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from funnelfinder.ground import Patch
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.units import YARD_M, said_length

#: Wander is told half way along a straight trip of this length [m].
TRIP_M: Final = 400 * YARD_M
#: Below this many √(c h) the stencil is too dear on diagonals (κ c h above 2; plane waves).
LEAST_ROOTS: Final = 7.4


def kappa_per_m(wander_m: float) -> float:
    """Return κ = L / (4 σ²) of a wander [1/m].

    References
    ----------
    .. [1] J. S. Horne et al., "Analyzing animal movements using Brownian bridges", Ecology 88,
       2354-2363, 2007 (variance half way along a bridge).

    Examples
    --------
    >>> round(kappa_per_m(91.44), 5)
    0.01094
    """
    return TRIP_M / (4.0 * wander_m**2)


def spread_half_way_m(kappa: float, length_m: float) -> float:
    """Return the standard deviation half way along a straight trip, ½ √(L/κ) [m].

    Examples
    --------
    >>> round(spread_half_way_m(0.07, 400.0), 1)
    37.8
    """
    return 0.5 * math.sqrt(length_m / kappa)


def usable_wander_m(
    wander_m: float, cost: FloatArray, cell_m: float, where: BoolArray
) -> tuple[float, tuple[str, ...]]:
    """Return the wander that the cells can show, and a note where it had to be raised.

    Parameters
    ----------
    wander_m : float
        What the person wants [m].
    cost : (rows, cols) float64
        Cost per metre.
    cell_m : float
        Side of a cell [m].
    where : (rows, cols) bool
        Where trips run.
    """
    known = cost[where & np.isfinite(cost)]
    dear = float(np.percentile(known, 90)) if known.size else 1.0
    least = LEAST_ROOTS * math.sqrt(dear * cell_m)
    if wander_m >= least:
        return wander_m, ()
    words = f"Wander was raised from {said_length(wander_m)} to {said_length(least)}: "
    return least, (words + f"cells of {cell_m:g} m cannot show less on ground this dear.",)


def between(beds: tuple[Patch, ...], foods: tuple[Patch, ...], shape: tuple[int, int]) -> BoolArray:
    """Return the smallest box of cells that holds all beds and foods."""
    cells = np.concatenate([patch.cells for patch in (*beds, *foods)])
    rows, cols = np.divmod(cells, shape[1])
    box = np.zeros(shape, dtype=bool)
    box[rows.min() : rows.max() + 1, cols.min() : cols.max() + 1] = True
    return box
