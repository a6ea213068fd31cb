"""Scent on the air: how a plume thins out, and which drawn trips walk into it.

Briggs's curves for open country are meant for 100 m to 10 km over flat ground; nearer, and in
woods, they are an extrapolation.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numba import njit

#: σy = a x / √(1 + 0.0001 x); σz = b x (1 + c x)^p, rows A to F (Briggs 1973, open country;
#: in Hanna, Briggs & Hosker, "Handbook on atmospheric diffusion", 1982, table 4.5).
BRIGGS: Final = np.array(
    [
        [0.22, 0.20, 0.0, 0.0],
        [0.16, 0.12, 0.0, 0.0],
        [0.11, 0.08, 0.0002, -0.5],
        [0.08, 0.06, 0.0015, -0.5],
        [0.06, 0.03, 0.0003, -1.0],
        [0.04, 0.016, 0.0003, -1.0],
    ]
)


@njit(cache=True, nogil=True)
def sigmas(x, row):  # type: ignore[no-untyped-def]
    """Return σy and σz [m] at x metres down the wind for one row of `BRIGGS`."""
    across = row[0] * x / np.sqrt(1.0 + 0.0001 * x)
    return across, row[1] * x * (1.0 + row[2] * x) ** row[3]


@njit(cache=True, nogil=True)
def plume(y, z, h, u, s_y, s_z):  # type: ignore[no-untyped-def]
    """Return C/Q [s/m³] y metres off the axis, at height z, of a release at height h."""
    up = np.exp(-((z - h) ** 2) / (2 * s_z * s_z)) + np.exp(-((z + h) ** 2) / (2 * s_z * s_z))
    return np.exp(-(y * y) / (2 * s_y * s_y)) * up / (2 * np.pi * u * s_y * s_z)


@njit(cache=True, nogil=True)
def scent_widths(n, step, u, row, heights, nose, threshold):  # type: ignore[no-untyped-def]
    """Return half the width of the scent at n steps down the wind, the widest of the releases.

    0 where it is nowhere above the threshold.
    """
    widths = np.zeros(n)
    for k in range(n):
        s_y, s_z = sigmas((k + 1) * step, row)
        for h in heights:
            axis = plume(0.0, nose, h, u, s_y, s_z)
            if axis > threshold:
                widths[k] = max(widths[k], s_y * np.sqrt(2 * np.log(axis / threshold)))
    return widths


@njit(cache=True, nogil=True)
def _at(field, row, col):  # type: ignore[no-untyped-def]
    """Return a field's value at the nearest cell."""
    r = min(max(int(row + 0.5), 0), field.shape[0] - 1)
    c = min(max(int(col + 0.5), 0), field.shape[1] - 1)
    return field[r, c]


@njit(cache=True, nogil=True)
def _stamp(mask, bit, x, y, half, cell):  # type: ignore[no-untyped-def]
    """Set a bit in the cells within half of (x, y) [m from the middle], and in its own cell."""
    n = mask.shape[0] // 2
    row0, row1 = int(np.floor((y - half) / cell)) + n, int(np.floor((y + half) / cell)) + n
    col0, col1 = int(np.floor((x - half) / cell)) + n, int(np.floor((x + half) / cell)) + n
    own_row, own_col = int(np.floor(y / cell)) + n, int(np.floor(x / cell)) + n
    for r in range(max(row0, 0), min(row1, 2 * n - 1) + 1):
        for c in range(max(col0, 0), min(col1, 2 * n - 1) + 1):
            dx, dy = (c - n + 0.5) * cell - x, (r - n + 0.5) * cell - y
            if dx * dx + dy * dy <= half * half or (r == own_row and c == own_col):
                mask[r, c] |= bit


@njit(cache=True, nogil=True)
def scent_mask(  # type: ignore[no-untyped-def]
    x,
    y,
    wind_east,
    wind_north,
    turns,
    drift_east,
    drift_north,
    drift,
    frame,
    row,
    heights,
    nose,
    limits,
):
    """Return for each cell about a source the directions of the wind that carry scent there.

    Parameters
    ----------
    x, y : float
        The source [m].
    wind_east, wind_north : float
        Mean wind, where it goes [m/s].
    turns : (k,) float64
        Equally likely turns of the wind [rad], at most 64.
    drift_east, drift_north : (rows, cols) float64
        Drift of the air down the slopes, 0 to 1.
    drift : float
        Its speed, negative where it goes up [m/s].
    frame : (3,) float64
        West and north edge and cell size of the drift's grid [m].
    row : (4,) float64
        Row of `BRIGGS`.
    heights : (h,) float64
        Heights of release; the worst counts [m].
    nose : float
        Height of a deer's nose [m].
    limits : (4,) float64
        Threshold [s/m³], greatest distance [m], cell of the mask [m], least speed [m/s].

    Returns
    -------
    (2n, 2n) uint64
        Bit k is set where turn k carries scent; rows run northward from the source's south.
    """
    threshold, far, cell, slow = limits
    n = int(far / cell) + 2
    mask = np.zeros((2 * n, 2 * n), dtype=np.uint64)
    n_steps = int(far / cell)
    for k in range(turns.size):
        bit = np.uint64(1) << np.uint64(k)
        cos, sin = np.cos(turns[k]), np.sin(turns[k])
        px, py = 0.0, 0.0
        ue, un = 0.0, 0.0
        widths = np.zeros(n_steps)
        for step in range(n_steps):
            r = (frame[1] - (y + py)) / frame[2] - 0.5
            c = ((x + px) - frame[0]) / frame[2] - 0.5
            east = wind_east + drift * _at(drift_east, r, c)
            north = wind_north + drift * _at(drift_north, r, c)
            speed = np.hypot(east, north)
            if step == 0:
                widths = scent_widths(
                    n_steps, cell, max(speed, slow), row, heights, nose, threshold
                )
            if speed > 0.02:
                ue = (east * cos - north * sin) / speed
                un = (east * sin + north * cos) / speed
            if ue == 0.0 and un == 0.0:
                ue, un = sin, cos
            px += ue * cell
            py += un * cell
            if px * px + py * py > far * far:
                break
            if widths[step] > 0.0:
                _stamp(mask, bit, px, py, widths[step], cell)
    return mask


@njit(cache=True, nogil=True)
def _count(word):  # type: ignore[no-untyped-def]
    """Return the number of ones in a word (Warren, Hacker's Delight, 2013, ch. 5)."""
    w = word - ((word >> np.uint64(1)) & np.uint64(0x5555555555555555))
    w = (w & np.uint64(0x3333333333333333)) + ((w >> np.uint64(2)) & np.uint64(0x3333333333333333))
    w = (w + (w >> np.uint64(4))) & np.uint64(0x0F0F0F0F0F0F0F0F)
    return (w * np.uint64(0x0101010101010101)) >> np.uint64(56)


@njit(cache=True, nogil=True)
def alerted_parts(points, first, begin, end, mask, x, y, cell, n_turns):  # type: ignore[no-untyped-def]
    """Return for each trip the part of the wind's directions that alert it, and where they do.

    Parameters
    ----------
    points : (n, 2) float64
        Points of all trips, close together [m].
    first : (trips + 1,) int64
        Where each trip begins.
    begin, end : (trips,) int64
        Points of each trip that count, from ``begin`` up to ``end``.
    mask, x, y, cell
        From `scent_mask`: bits, source and cell size [m].
    n_turns : int
        Number of directions.

    Returns
    -------
    parts : (trips,) float64
        Part of the directions.
    lowest, highest : (trips,) int64
        First and last of the points in scent on any of them; -1 where none is.
    """
    n = mask.shape[0] // 2
    parts = np.zeros(first.size - 1)
    lowest, highest = np.full(first.size - 1, -1, np.int64), np.full(first.size - 1, -1, np.int64)
    for trip in range(first.size - 1):
        met = np.uint64(0)
        for k in range(begin[trip], end[trip]):
            c = int(np.floor((points[k, 0] - x) / cell)) + n
            r = int(np.floor((points[k, 1] - y) / cell)) + n
            if 0 <= c < 2 * n and 0 <= r < 2 * n and mask[r, c] != np.uint64(0):
                met |= mask[r, c]
                highest[trip] = k
                if lowest[trip] < 0:
                    lowest[trip] = k
        parts[trip] = _count(met) / n_turns
    return parts, lowest, highest


@njit(cache=True, nogil=True)
def reach_points(places, points, first, reach):  # type: ignore[no-untyped-def]
    """Return the first and last point of each trip within reach of any place, -1 if none.

    Parameters
    ----------
    places : (p, 2) float64
        The places [m].
    points, first
        As for `alerted_parts`.
    reach : float
        How near [m].
    """
    n = first.size - 1
    begin, end = np.full(n, -1, np.int64), np.full(n, -1, np.int64)
    for trip in range(n):
        for k in range(first[trip], first[trip + 1]):
            for p in range(places.shape[0]):
                dx, dy = points[k, 0] - places[p, 0], points[k, 1] - places[p, 1]
                if dx * dx + dy * dy <= reach * reach:
                    if begin[trip] < 0:
                        begin[trip] = k
                    end[trip] = k
                    break
    return begin, end
