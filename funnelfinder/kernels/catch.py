"""Which trips pass within reach of which places, as bits, and the best clusters of places."""

from __future__ import annotations

import numpy as np
from numba import njit


@njit(cache=True, nogil=True)
def _near(px, py, ax, ay, bx, by, reach2):  # type: ignore[no-untyped-def]
    """Return whether a point lies within reach of a segment."""
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    t = 0.0
    if length2 > 0.0:
        t = min(1.0, max(0.0, ((px - ax) * dx + (py - ay) * dy) / length2))
    ex, ey = ax + t * dx - px, ay + t * dy - py
    return ex * ex + ey * ey <= reach2


@njit(cache=True, nogil=True)
def _bins(points, reach):  # type: ignore[no-untyped-def]
    """Return the places sorted into squares of side reach: west, south, shape, first, order."""
    n = points.shape[0]
    west = points[:, 0].min()
    south = points[:, 1].min()
    n_cols = int((points[:, 0].max() - west) / reach) + 1
    n_rows = int((points[:, 1].max() - south) / reach) + 1
    count = np.zeros(n_rows * n_cols + 1, dtype=np.int64)
    place = np.empty(n, dtype=np.int64)
    for i in range(n):
        col = int((points[i, 0] - west) / reach)
        row = int((points[i, 1] - south) / reach)
        place[i] = row * n_cols + col
        count[place[i] + 1] += 1
    first = np.cumsum(count)
    filled = first[:-1].copy()
    order = np.empty(n, dtype=np.int64)
    for i in range(n):
        order[filled[place[i]]] = i
        filled[place[i]] += 1
    return west, south, n_rows, n_cols, first, order


@njit(cache=True, nogil=True)
def hit_bits(points, trips, first, bit_of_trip, n_words, reach):  # type: ignore[no-untyped-def]
    """Return for each place the trips that pass within reach, as bits (places, words) uint64.

    Parameters
    ----------
    points : (places, 2) float64
        Where the places lie [m].
    trips : (n, 2) float64
        Points of all trips [m].
    first : (trips + 1,) int64
        Where each trip begins.
    bit_of_trip : (trips,) int64
        Which bit stands for each trip.
    n_words : int
        Words of 64 bits a place.
    reach : float
        How near a trip must pass [m].
    """
    bits = np.zeros((points.shape[0], n_words), dtype=np.uint64)
    if points.shape[0] == 0:
        return bits
    west, south, n_rows, n_cols, starts, order = _bins(points, reach)
    reach2 = reach * reach
    for trip in range(first.size - 1):
        word = bit_of_trip[trip] // 64
        bit = np.uint64(1) << np.uint64(bit_of_trip[trip] % 64)
        for k in range(first[trip], first[trip + 1] - 1):
            ax, ay = trips[k, 0], trips[k, 1]
            bx, by = trips[k + 1, 0], trips[k + 1, 1]
            col0 = max(int(np.floor((min(ax, bx) - reach - west) / reach)), 0)
            col1 = min(int(np.floor((max(ax, bx) + reach - west) / reach)), n_cols - 1)
            row0 = max(int(np.floor((min(ay, by) - reach - south) / reach)), 0)
            row1 = min(int(np.floor((max(ay, by) + reach - south) / reach)), n_rows - 1)
            for row in range(row0, row1 + 1):
                for col in range(col0, col1 + 1):
                    for m in range(starts[row * n_cols + col], starts[row * n_cols + col + 1]):
                        i = order[m]
                        if bits[i, word] & bit:
                            continue
                        if _near(points[i, 0], points[i, 1], ax, ay, bx, by, reach2):
                            bits[i, word] |= bit
    return bits


@njit(cache=True, nogil=True)
def _ones(word):  # type: ignore[no-untyped-def]
    """Return the number of ones in a word (Warren, Hacker's Delight, 2013, ch. 5)."""
    x = word
    x = x - ((x >> np.uint64(1)) & np.uint64(0x5555555555555555))
    x = (x & np.uint64(0x3333333333333333)) + ((x >> np.uint64(2)) & np.uint64(0x3333333333333333))
    x = (x + (x >> np.uint64(4))) & np.uint64(0x0F0F0F0F0F0F0F0F)
    return (x * np.uint64(0x0101010101010101)) >> np.uint64(56)


@njit(cache=True, nogil=True)
def shares(bits, word_weight, taken):  # type: ignore[no-untyped-def]
    """Return for each place the share of trips that it catches beside those in ``taken``."""
    total = np.zeros(bits.shape[0])
    for i in range(bits.shape[0]):
        for w in range(bits.shape[1]):
            fresh = bits[i, w] & ~taken[w]
            if fresh:
                total[i] += word_weight[w] * _ones(fresh)
    return total


@njit(cache=True, nogil=True)
def _gain(bits, i, taken, word_weight):  # type: ignore[no-untyped-def]
    """Return what place i adds to the trips in ``taken``."""
    total = 0.0
    for w in range(taken.size):
        fresh = bits[i, w] & ~taken[w]
        if fresh:
            total += word_weight[w] * _ones(fresh)
    return total


@njit(cache=True, nogil=True)
def grow_clusters(  # type: ignore[no-untyped-def]
    bits, word_weight, taken, allowed, points, near_first, near, size, low2
):
    """Return for each allowed place the best cluster that starts there, and what it adds.

    Parameters
    ----------
    bits, word_weight, taken
        As for `shares`.
    allowed : (places,) bool
        Which places may hold a scrape.
    points : (places, 2) float64
        Where they lie [m].
    near_first, near : int64
        Neighbours at a fitting distance, as CSR.
    size : int
        Most scrapes of a cluster.
    low2 : float
        Square of the least distance between scrapes [m²].

    Returns
    -------
    (places, size) int64, (places,) float64
        Members, -1 where there is none, and the share of fresh trips; 0 where not allowed.
    """
    n = bits.shape[0]
    members = np.full((n, size), -1, dtype=np.int64)
    gains = np.zeros(n)
    have = np.empty_like(taken)
    for i in range(n):
        if not allowed[i]:
            continue
        for w in range(taken.size):
            have[w] = taken[w] | bits[i, w]
        members[i, 0] = i
        gains[i] = _gain(bits, i, taken, word_weight)
        for place in range(1, size):
            best, best_gain = -1, -1.0
            for m in range(place):
                one = members[i, m]
                for k in range(near_first[one], near_first[one + 1]):
                    j = near[k]
                    if not allowed[j]:
                        continue
                    is_apart = True
                    for other in range(place):
                        o = members[i, other]
                        dx = points[j, 0] - points[o, 0]
                        dy = points[j, 1] - points[o, 1]
                        if dx * dx + dy * dy < low2:
                            is_apart = False
                            break
                    if is_apart:
                        gain = _gain(bits, j, have, word_weight)
                        if gain > best_gain:
                            best, best_gain = j, gain
            if best < 0:
                break
            members[i, place] = best
            gains[i] += best_gain
            for w in range(taken.size):
                have[w] |= bits[best, w]
    return members, gains
