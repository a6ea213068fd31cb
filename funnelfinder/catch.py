"""Which trips pass within reach of which places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from funnelfinder.kernels import AnyArray, FloatArray, IntArray
from funnelfinder.kernels.catch import hit_bits, shares
from funnelfinder.trips import DrawnTrips

_WORD = 64


@dataclass(frozen=True, kw_only=True)
class Catches:
    """Trips caught at places, a bit a trip.

    Parameters
    ----------
    points_m : (places, 2) float64
        Where the places lie [m].
    bits : (places, words) uint64
        Which trips pass within reach; all trips of a word belong to one pair.
    word_weight : (words,) float64
        Share of all trips that each trip of a word stands for.
    """

    points_m: FloatArray
    bits: AnyArray
    word_weight: FloatArray

    def share_of_each(self, taken: AnyArray | None = None) -> FloatArray:
        """Return the share that each place catches, beside the trips in ``taken``, (places,)."""
        return np.asarray(shares(self.bits, self.word_weight, self.nothing(taken)))

    def nothing(self, taken: AnyArray | None = None) -> AnyArray:
        """Return ``taken``, or words without any trip."""
        return np.zeros(self.word_weight.size, dtype=np.uint64) if taken is None else taken

    def union(self, places: IntArray) -> AnyArray:
        """Return the trips that any of the places catches, (words,)."""
        found: AnyArray = np.bitwise_or.reduce(self.bits[places], axis=0, initial=np.uint64(0))
        return found

    def share_of_union(self, places: IntArray) -> float:
        """Return the share of trips that any of the places catches."""
        caught = self.union(places)[None, :]
        return float(shares(caught, self.word_weight, self.nothing())[0])


def catches(points_m: FloatArray, drawn: DrawnTrips, reach_m: float) -> Catches:
    """Return which drawn trips pass within reach of each place.

    Parameters
    ----------
    points_m : (places, 2) float64
        Where the places lie [m].
    drawn : DrawnTrips
        Single trips.
    reach_m : float
        How near a trip must pass [m].
    """
    points = np.ascontiguousarray(np.asarray(points_m, dtype=np.float64).reshape(-1, 2))
    bit_of_trip, word_weight = _bit_places(drawn)
    bits = hit_bits(
        points, drawn.points_m, drawn.first, bit_of_trip, word_weight.size, float(reach_m)
    )
    return Catches(points_m=points, bits=bits, word_weight=word_weight)


def _bit_places(drawn: DrawnTrips) -> tuple[IntArray, FloatArray]:
    """Return the bit of each trip, pairs padded to whole words, and each word's weight."""
    bit_of_trip = np.empty(drawn.n_trips, dtype=np.int64)
    weights: list[float] = []
    for pair in np.unique(drawn.pair):
        members = np.flatnonzero(drawn.pair == pair)
        bit_of_trip[members] = len(weights) * _WORD + np.arange(members.size)
        weights += [float(drawn.weight[members[0]])] * -(-members.size // _WORD)
    return bit_of_trip, np.array(weights)


def shares_by_pair(
    groups_m: Sequence[FloatArray], drawn: DrawnTrips, reach_m: float, n_pairs: int
) -> FloatArray:
    """Return the share of each pair's own trips that pass within reach of groups of places.

    Parameters
    ----------
    groups_m : sequence of (places, 2) float64
        Groups of places, such as the scrapes of a cluster; a trip counts once a group [m].
    drawn : DrawnTrips
        Single trips.
    reach_m : float
        How near a trip must pass [m].
    n_pairs : int
        Number of pairs.

    Returns
    -------
    (groups, pairs) float64
        Shares from 0 to 1; 0 for a pair without drawn trips.
    """
    found = np.zeros((len(groups_m), n_pairs))
    if not groups_m:
        return found
    every = catches(np.concatenate(groups_m), drawn, reach_m)
    ends = np.cumsum([0, *(len(group) for group in groups_m)])
    bit, _ = _bit_places(drawn)
    total = np.maximum(np.bincount(drawn.pair, minlength=n_pairs), 1)
    for number, (first, last) in enumerate(pairwise(ends)):
        words = every.union(np.arange(first, last))[bit // _WORD]
        is_hit = (words >> (bit % _WORD).astype(np.uint64)) & np.uint64(1) == 1
        found[number] = np.bincount(drawn.pair[is_hit], minlength=n_pairs) / total
    return found


def catch_of(points_m: FloatArray, drawn: DrawnTrips, reach_m: float) -> float:
    """Return the share of trips that pass within reach of any of the points."""
    found = catches(points_m, drawn, reach_m)
    return found.share_of_union(np.arange(found.points_m.shape[0]))
