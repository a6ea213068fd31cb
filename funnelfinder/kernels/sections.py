"""Contours of a field as loose segments with the flow across each of them."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def section_segments(field, east, north, step, highest, faint):  # type: ignore[no-untyped-def]
    """Return the pieces of all contours of a field, a multiple of ``step`` apart.

    Parameters
    ----------
    field : (rows, cols) float64
        The soft distance; NaN breaks a contour.
    east, north : (rows, cols) float64
        Flow density.
    step, highest : float
        Levels are 0, step, 2 step, … up to ``highest``.
    faint : float
        Squares whose flow is below this are passed over.

    Returns
    -------
    level (n,) int64, row (n,), col (n,) middle, length (n,) [cells], flow (n,) across towards
    falling field, down_east (n,), down_north (n,) unit vector, edge_a (n,), edge_b (n,) int64
    """
    n_rows, n_cols = field.shape
    size = 1024
    level = np.empty(size, dtype=np.int64)
    ends = np.empty((size, 2), dtype=np.int64)
    real = np.empty((size, 6))
    cross = np.empty((4, 2))
    edge = np.empty(4, dtype=np.int64)
    n = 0
    for r in range(n_rows - 1):
        for c in range(n_cols - 1):
            flow_east = 0.25 * (east[r, c] + east[r, c + 1] + east[r + 1, c] + east[r + 1, c + 1])
            flow_north = 0.25 * (
                north[r, c] + north[r, c + 1] + north[r + 1, c] + north[r + 1, c + 1]
            )
            if flow_east * flow_east + flow_north * flow_north < faint * faint:
                continue
            a, b = field[r, c], field[r, c + 1]
            d, e = field[r + 1, c], field[r + 1, c + 1]
            low = min(a, b, d, e)
            high = min(max(a, b, d, e), highest)
            if not (np.isfinite(a + b + d + e)) or high < 0.0:
                continue
            grad_east = 0.5 * ((b - a) + (e - d))
            grad_north = 0.5 * ((a - d) + (b - e))
            steep = np.hypot(grad_east, grad_north)
            if steep == 0.0:
                continue
            down_east, down_north = -grad_east / steep, -grad_north / steep
            across = flow_east * down_east + flow_north * down_north
            if across <= 0.0:
                continue
            for k in range(max(0, int(np.ceil(low / step))), int(np.floor(high / step)) + 1):
                value = k * step
                m = 0
                if (a < value) != (b < value):
                    cross[m, 0], cross[m, 1] = 0.0, (value - a) / (b - a)
                    edge[m] = 2 * (r * n_cols + c)
                    m += 1
                if (b < value) != (e < value):
                    cross[m, 0], cross[m, 1] = (value - b) / (e - b), 1.0
                    edge[m] = 2 * (r * n_cols + c + 1) + 1
                    m += 1
                if (d < value) != (e < value):
                    cross[m, 0], cross[m, 1] = 1.0, (value - d) / (e - d)
                    edge[m] = 2 * ((r + 1) * n_cols + c)
                    m += 1
                if (a < value) != (d < value):
                    cross[m, 0], cross[m, 1] = (value - a) / (d - a), 0.0
                    edge[m] = 2 * (r * n_cols + c) + 1
                    m += 1
                for pair in range(m // 2):
                    p, q = 2 * pair, 2 * pair + 1
                    if n == size:
                        level = np.concatenate((level, np.empty(size, dtype=np.int64)))
                        ends = np.concatenate((ends, np.empty((size, 2), dtype=np.int64)))
                        real = np.concatenate((real, np.empty((size, 6))))
                        size *= 2
                    level[n] = k
                    ends[n, 0], ends[n, 1] = edge[p], edge[q]
                    real[n, 0] = r + 0.5 * (cross[p, 0] + cross[q, 0])
                    real[n, 1] = c + 0.5 * (cross[p, 1] + cross[q, 1])
                    real[n, 2] = np.hypot(cross[p, 0] - cross[q, 0], cross[p, 1] - cross[q, 1])
                    real[n, 3] = across
                    real[n, 4], real[n, 5] = down_east, down_north
                    n += 1
    return level[:n], real[:n], ends[:n]
