"""What is seen from where, over the lie of the land and through cover."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def add_seen(seen, heights, woody, row, col, cell, eye, target, reach, through):  # type: ignore[no-untyped-def]
    """Mark the cells that are seen from one cell.

    Parameters
    ----------
    seen : (rows, cols) bool
        Marked where seen; marks made before stay.
    heights : (rows, cols) float64
        Ground [m]; NaN counts as no hindrance.
    woody : (rows, cols) bool
        Where cover hides.
    row, col : int
        The cell looked from.
    cell : float
        Side of a cell [m].
    eye, target : float
        Heights above ground of the eye and of what is seen [m].
    reach : float
        Nothing is seen beyond [m].
    through : float
        Nothing is seen through more woody cover than this [m].
    """
    n = int(reach / cell)
    for r in range(max(row - n, 0), min(row + n, heights.shape[0] - 1) + 1):
        for c in range(max(col - n, 0), min(col + n, heights.shape[1] - 1) + 1):
            far = np.hypot(r - row, c - col) * cell
            if seen[r, c] or far > reach:
                continue
            steps = int(max(abs(r - row), abs(c - col)))
            z0, z1 = heights[row, col] + eye, heights[r, c] + target
            hidden, is_clear = 0.0, True
            for k in range(1, steps):
                t = k / steps
                rk, ck = int(np.rint(row + t * (r - row))), int(np.rint(col + t * (c - col)))
                if heights[rk, ck] > z0 + t * (z1 - z0):
                    is_clear = False
                    break
                if woody[rk, ck]:
                    hidden += far / steps
                    if hidden > through:
                        is_clear = False
                        break
            if is_clear:
                seen[r, c] = True
