"""Where drawn trips cross a walk."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def trip_crossings(points, first, walk):  # type: ignore[no-untyped-def]
    """Return the length that each trip has walked where it first and last crosses a walk.

    Parameters
    ----------
    points : (n, 2) float64
        Points of all trips, each from its bed [m].
    first : (trips + 1,) int64
        Where each trip begins.
    walk : (m, 2) float64
        Points of the walk [m].

    Returns
    -------
    begin, end : (trips,) float64
        Length walked [m]; NaN where a trip does not cross.
    """
    n = first.size - 1
    begin, end = np.full(n, np.nan), np.full(n, np.nan)
    west, east = walk[:, 0].min(), walk[:, 0].max()
    south, north = walk[:, 1].min(), walk[:, 1].max()
    for trip in range(n):
        gone = 0.0
        for k in range(first[trip], first[trip + 1] - 1):
            x0, y0, x1, y1 = points[k, 0], points[k, 1], points[k + 1, 0], points[k + 1, 1]
            length = np.hypot(x1 - x0, y1 - y0)
            left, right, low, high = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
            if right >= west and left <= east and high >= south and low <= north:
                for j in range(walk.shape[0] - 1):
                    u0, v0, u1, v1 = walk[j, 0], walk[j, 1], walk[j + 1, 0], walk[j + 1, 1]
                    if right < min(u0, u1) or left > max(u0, u1):
                        continue
                    if high < min(v0, v1) or low > max(v0, v1):
                        continue
                    turn = (x1 - x0) * (v1 - v0) - (y1 - y0) * (u1 - u0)
                    if turn == 0.0:
                        continue
                    along = ((u0 - x0) * (v1 - v0) - (v0 - y0) * (u1 - u0)) / turn
                    across = ((u0 - x0) * (y1 - y0) - (v0 - y0) * (x1 - x0)) / turn
                    if 0.0 <= along <= 1.0 and 0.0 <= across <= 1.0:
                        here = gone + along * length
                        if not begin[trip] <= here:
                            begin[trip] = here
                        if not end[trip] >= here:
                            end[trip] = here
            gone += length
    return begin, end
