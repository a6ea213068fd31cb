"""Passage in legal light, summed over pairs."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def add_in_light(total, flow, walked, is_open, shares, step):  # type: ignore[no-untyped-def]
    """Add the part of one pair's flow that passes in legal light.

    Parameters
    ----------
    total : (n,) float64
        Added to, by cell.
    flow : (n,) float32
        Net flow of the pair.
    walked : (n,) float32
        Mean length walked from the bed [m]; NaN where no trip comes.
    is_open : (n,) bool
        Where the second row of ``shares`` counts.
    shares : (2, m) float64
        Share in legal light after whole multiples of ``step`` metres, straight between them.
    step : float
        Step of the shares [m].
    """
    last = shares.shape[1] - 2
    for i in range(flow.size):
        if flow[i] > 0.0 and np.isfinite(walked[i]):
            place = walked[i] / step
            k = min(int(place), last)
            part = min(place - k, 1.0)
            row = 1 if is_open[i] else 0
            share = shares[row, k] + part * (shares[row, k + 1] - shares[row, k])
            total[i] += flow[i] * share
