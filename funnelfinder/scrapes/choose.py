"""Clusters chosen together, so that each catches trips the others miss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.spatial import cKDTree

from funnelfinder.catch import Catches
from funnelfinder.defaults import ScrapeSettings
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.kernels.catch import grow_clusters

#: A swap must add at least this share of trips, so that the pass ends.
LEAST_SWAP: Final = 1e-6
_MOST_SWAP_ROUNDS: Final = 4
#: Spacing can make the best first cluster a bad one: so many others are tried in its stead.
_N_STARTS: Final = 8
_TOLERANCE_M: Final = 1e-6


def choose_clusters(
    table: Catches,
    settings: ScrapeSettings,
    *,
    kept: Sequence[IntArray] = (),
    is_allowed: BoolArray | None = None,
) -> list[IntArray]:
    """Return clusters as places of a catch table, the best first.

    Greedy maximum coverage, each time with a pass of swaps, from several first clusters; the best
    of these counts. The spacing between clusters voids the bound of 1 − 1/e that greedy choice has
    without it.

    Parameters
    ----------
    table : Catches
        Which trips each place catches.
    settings : ScrapeSettings
        Size, spacing and number of clusters, and the least gain.
    kept : sequence of (k,) int64
        Clusters that are in already and stay (by hand).
    is_allowed : (places,) bool, optional
        Which places may hold a scrape; all by default.

    References
    ----------
    .. [1] G. L. Nemhauser, L. A. Wolsey, M. L. Fisher, "An analysis of approximations for
       maximizing submodular set functions", Math. Program. 14, 265-294, 1978.
    """
    choice = _choice(table, settings, is_allowed)
    n_fixed = len(kept)
    found = [
        choice.swapped(choice.filled([*kept, *first]), n_fixed, LEAST_SWAP)
        for first in choice.starts(kept)
    ]
    return choice.by_gain(max(found, key=choice.share), n_fixed)


def swapped(
    table: Catches,
    settings: ScrapeSettings,
    chosen: Sequence[IntArray],
    *,
    n_fixed: int = 0,
    least_swap: float = LEAST_SWAP,
) -> list[IntArray]:
    """Return clusters after replacing some by better ones, given the others.

    Parameters
    ----------
    table, settings
        As for `choose_clusters`.
    chosen : sequence of (k,) int64
        What to start from.
    n_fixed : int
        The first of them, which stay.
    least_swap : float
        A cluster is given up only where another adds at least this share of trips more.
    """
    return _choice(table, settings, None).swapped(list(chosen), n_fixed, least_swap)


@dataclass(frozen=True, kw_only=True)
class _Choice:
    """What is chosen from: places, what they catch, and their neighbours as CSR."""

    table: Catches
    settings: ScrapeSettings
    is_allowed: BoolArray
    near_first: IntArray
    near: IntArray

    def share(self, chosen: Sequence[IntArray]) -> float:
        """Return the share that clusters catch together."""
        return self.table.share_of_union(_places(chosen))

    def grown(self, chosen: Sequence[IntArray]) -> tuple[IntArray, FloatArray]:
        """Return for each place the best cluster that starts there, and what it adds."""
        table, settings = self.table, self.settings
        members, gains = grow_clusters(
            table.bits,
            table.word_weight,
            table.union(_places(chosen)),
            self.is_allowed & _is_apart(table.points_m, chosen, settings.clusters_apart_m),
            table.points_m,
            self.near_first,
            self.near,
            settings.per_cluster,
            (settings.spacing_low_m - _TOLERANCE_M) ** 2,
        )
        # A cluster has two scrapes at least: a lone place has no room beside it.
        return members, np.where(members[:, 1] >= 0, gains, 0.0)

    def best(self, chosen: Sequence[IntArray]) -> tuple[IntArray | None, float]:
        """Return the cluster that adds most to those chosen, and what it adds."""
        members, gains = self.grown(chosen)
        if not gains.size or gains.max() <= 0:
            return None, 0.0
        best = int(np.argmax(gains))
        return members[best][members[best] >= 0], float(gains[best])

    def starts(self, kept: Sequence[IntArray]) -> list[list[IntArray]]:
        """Return first clusters worth trying, none of them near another; or one empty start."""
        members, gains = self.grown(kept)
        found: list[list[IntArray]] = []
        is_free = gains >= max(self.settings.least_gain, LEAST_SWAP)
        while is_free.any() and len(found) < _N_STARTS and len(kept) < self.settings.n_clusters:
            best = int(np.argmax(np.where(is_free, gains, -1.0)))
            cluster = members[best][members[best] >= 0]
            found.append([cluster])
            far = np.hypot(*(self.table.points_m - self.table.points_m[best]).T)
            is_free &= far > self.settings.spacing_high_m
        return found or [[]]

    def filled(self, chosen: list[IntArray]) -> list[IntArray]:
        """Return clusters with the best ones added one by one while they add enough."""
        now = list(chosen)
        while len(now) < self.settings.n_clusters:
            cluster, gain = self.best(now)
            if cluster is None or gain < self.settings.least_gain:
                break
            now.append(cluster)
        return now

    def swapped(self, chosen: list[IntArray], n_fixed: int, least_swap: float) -> list[IntArray]:
        """Return clusters after rounds of swaps, until none improves."""
        now = list(chosen)
        for _ in range(_MOST_SWAP_ROUNDS):
            is_better = False
            for k in range(n_fixed, len(now)):
                others = now[:k] + now[k + 1 :]
                cluster, gain = self.best(others)
                bar = self.share(now) - self.share(others) + least_swap
                if cluster is not None and gain > bar:
                    now[k] = cluster
                    is_better = True
            if not is_better:
                break
        return now

    def by_gain(self, chosen: list[IntArray], n_fixed: int) -> list[IntArray]:
        """Return clusters in the order in which each adds most; the fixed stay in front."""
        ordered, waiting = chosen[:n_fixed], chosen[n_fixed:]
        while waiting:
            shares = [self.share([*ordered, cluster]) for cluster in waiting]
            ordered.append(waiting.pop(int(np.argmax(shares))))
        return ordered


def _choice(table: Catches, settings: ScrapeSettings, is_allowed: BoolArray | None) -> _Choice:
    """Return what is chosen from."""
    n = table.points_m.shape[0]
    first, near = _neighbours(table.points_m, settings.spacing_low_m, settings.spacing_high_m)
    allowed = np.ones(n, dtype=bool) if is_allowed is None else is_allowed
    return _Choice(table=table, settings=settings, is_allowed=allowed, near_first=first, near=near)


def _neighbours(points_m: FloatArray, low_m: float, high_m: float) -> tuple[IntArray, IntArray]:
    """Return which places lie between two distances of each place, as CSR."""
    if not points_m.shape[0]:
        return np.zeros(1, dtype=np.int64), np.zeros(0, dtype=np.int64)
    pairs = cKDTree(points_m).query_pairs(high_m + _TOLERANCE_M, output_type="ndarray")
    far = np.hypot(*(points_m[pairs[:, 0]] - points_m[pairs[:, 1]]).T)
    pairs = pairs[far >= low_m - _TOLERANCE_M]
    both = np.concatenate([pairs, pairs[:, ::-1]])
    both = both[np.lexsort((both[:, 1], both[:, 0]))]
    counts = np.bincount(both[:, 0], minlength=points_m.shape[0])
    first = np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
    return first, np.ascontiguousarray(both[:, 1]).astype(np.int64)


def _places(chosen: Sequence[IntArray]) -> IntArray:
    """Return the places of all clusters."""
    return np.concatenate([*chosen, np.zeros(0, dtype=np.int64)]).astype(np.int64)


def _is_apart(points_m: FloatArray, chosen: Sequence[IntArray], apart_m: float) -> BoolArray:
    """Return which places lie far enough from the scrapes of all chosen clusters."""
    if not chosen:
        return np.ones(points_m.shape[0], dtype=bool)
    scrapes = points_m[_places(chosen)]
    return np.asarray(cKDTree(scrapes).query(points_m)[0] >= apart_m - _TOLERANCE_M)
