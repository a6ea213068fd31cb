"""The few stands which together leave a huntable sit on the most winds."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from funnelfinder.kernels import BoolArray, FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Rows chosen, in order, and the share of winds on which one of them is huntable."""

    rows: tuple[int, ...]
    share: float


def choose_set(huntable: BoolArray, worth: FloatArray, weight: FloatArray, n_most: int) -> Chosen:
    """Return a few stands by greedy cover (within 1 - 1/e of the best).

    Parameters
    ----------
    huntable : (stands, winds) bool
        Where a sit is huntable.
    worth : (stands, winds) float64
        Tells between stands that cover as much.
    weight : (winds,) float64
        How often each wind blows; sums to 1.
    n_most : int
        Most stands.

    References
    ----------
    .. [1] G. L. Nemhauser, L. A. Wolsey, M. L. Fisher, "An analysis of approximations for
       maximizing submodular set functions", Math. Program. 14, 265-294, 1978.

    Examples
    --------
    >>> both = np.array([[True, False], [False, True]])
    >>> choose_set(both, np.ones((2, 2)), np.array([0.6, 0.4]), 4)
    Chosen(rows=(0, 1), share=1.0)
    """
    rows: list[int] = []
    is_covered = np.zeros(len(weight), dtype=bool)
    liking = np.where(huntable, worth, 0.0) @ weight
    while len(rows) < n_most and huntable.size:
        gains = (huntable & ~is_covered) @ weight
        best = int(np.lexsort((-liking, -gains.round(12)))[0])
        if gains[best] <= 0:
            break
        rows.append(best)
        is_covered |= huntable[best]
    return Chosen(rows=tuple(rows), share=float(weight[is_covered].sum()))


def best_set(huntable: BoolArray, weight: FloatArray, n_most: int) -> Chosen:
    """Return the true best set by trying all; for small cases only."""
    sets = combinations(range(len(huntable)), min(n_most, len(huntable)))
    found = max(sets, key=lambda rows: float(weight[huntable[list(rows)].any(axis=0)].sum()))
    return Chosen(rows=found, share=float(weight[huntable[list(found)].any(axis=0)].sum()))
