"""Clusters chosen together, so that each catches trips the others miss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from funnelfinder.catch import Catches
from funnelfinder.defaults import ScrapeSettings
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray, IntArray
from funnelfinder.kernels.catch import grow_clusters

#: A swap must add at least this share of trips, so that the pass ends.
LEAST_SWAP = 1e-6
_MOST_SWAP_ROUNDS = 4


@dataclass(frozen=True, kw_only=True)
class _Nearby:
    """Neighbours at a fitting distance, as CSR."""

    first: IntArray
    places: IntArray


def choose_clusters(
    table: Catches,
    settings: ScrapeSettings,
    *,
    kept: Sequence[IntArray] = (),
    is_allowed: BoolArray | None = None,
) -> list[IntArray]:
    """Return clusters as places of a catch table, the best first.

    Greedy maximum coverage, then a pass of swaps; the spacing between clusters voids the bound of
    1 − 1/e that greedy choice has without it.

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
    allowed = np.ones(table.points_m.shape[0], dtype=bool) if is_allowed is None else is_allowed
    nearby = _nearby(table.points_m, settings.spacing_low_m, settings.spacing_high_m)
    chosen = list(kept)
    while len(chosen) < settings.n_clusters:
        cluster, gain = _best(table, settings, nearby, chosen, allowed)
        if cluster is None or gain < settings.least_gain:
            break
        chosen.append(cluster)
    chosen = swapped(table, settings, chosen, n_fixed=len(kept), is_allowed=allowed)
    return _by_gain(table, chosen, n_fixed=len(kept))


def _nearby(points_m: FloatArray, low_m: float, high_m: float) -> _Nearby:
    """Return which places lie between two distances of each place."""
    if not points_m.shape[0]:
        return _Nearby(first=np.zeros(1, dtype=np.int64), places=np.zeros(0, dtype=np.int64))
    pairs = cKDTree(points_m).query_pairs(high_m + 1e-6, output_type="ndarray")
    far = np.hypot(*(points_m[pairs[:, 0]] - points_m[pairs[:, 1]]).T)
    pairs = pairs[far >= low_m - 1e-6]
    both = np.concatenate([pairs, pairs[:, ::-1]])
    both = both[np.lexsort((both[:, 1], both[:, 0]))]
    counts = np.bincount(both[:, 0], minlength=points_m.shape[0])
    return _Nearby(
        first=np.concatenate(([0], np.cumsum(counts))).astype(np.int64),
        places=np.ascontiguousarray(both[:, 1]).astype(np.int64),
    )


def _taken(table: Catches, chosen: Sequence[IntArray]) -> AnyArray:
    """Return the trips that clusters catch."""
    return table.union(np.concatenate([*chosen, np.zeros(0, dtype=np.int64)]).astype(np.int64))


def _best(
    table: Catches,
    settings: ScrapeSettings,
    nearby: _Nearby,
    chosen: Sequence[IntArray],
    allowed: BoolArray,
) -> tuple[IntArray | None, float]:
    """Return the cluster that adds most to those chosen, and what it adds."""
    free = allowed & _is_apart(table.points_m, chosen, settings.clusters_apart_m)
    if not free.any():
        return None, 0.0
    members, gains = grow_clusters(
        table.bits,
        table.word_weight,
        _taken(table, chosen),
        free,
        table.points_m,
        nearby.first,
        nearby.places,
        settings.per_cluster,
        (settings.spacing_low_m - 1e-6) ** 2,
    )
    # A cluster has two scrapes at least: a lone place has no room beside it.
    gains = np.where(members[:, 1] >= 0, gains, 0.0)
    best = int(np.argmax(gains))
    if gains[best] <= 0:
        return None, 0.0
    return members[best][members[best] >= 0], float(gains[best])


def _is_apart(points_m: FloatArray, chosen: Sequence[IntArray], apart_m: float) -> BoolArray:
    """Return which places lie far enough from the scrapes of all chosen clusters."""
    if not chosen:
        return np.ones(points_m.shape[0], dtype=bool)
    scrapes = points_m[np.concatenate(list(chosen))]
    return np.asarray(cKDTree(scrapes).query(points_m)[0] >= apart_m - 1e-6)


def swapped(
    table: Catches,
    settings: ScrapeSettings,
    chosen: Sequence[IntArray],
    *,
    n_fixed: int = 0,
    is_allowed: BoolArray | None = None,
    least_swap: float = LEAST_SWAP,
) -> list[IntArray]:
    """Return clusters after replacing some by better ones, given the others.

    Parameters
    ----------
    table, settings, is_allowed
        As for `choose_clusters`.
    chosen : sequence of (k,) int64
        What to start from.
    n_fixed : int
        The first of them, which stay.
    least_swap : float
        A cluster is given up only where another adds at least this share of trips more.
    """
    allowed = np.ones(table.points_m.shape[0], dtype=bool) if is_allowed is None else is_allowed
    nearby = _nearby(table.points_m, settings.spacing_low_m, settings.spacing_high_m)
    now = list(chosen)
    for _ in range(_MOST_SWAP_ROUNDS):
        is_better = False
        for k in range(n_fixed, len(now)):
            others = now[:k] + now[k + 1 :]
            before = _share(table, now)
            cluster, gain = _best(table, settings, nearby, others, allowed)
            if cluster is not None and _share(table, others) + gain > before + least_swap:
                now[k] = cluster
                is_better = True
        if not is_better:
            break
    return now


def _share(table: Catches, chosen: Sequence[IntArray]) -> float:
    """Return the share that clusters catch together."""
    places = np.concatenate([*chosen, np.zeros(0, dtype=np.int64)]).astype(np.int64)
    return table.share_of_union(places)


def _by_gain(table: Catches, chosen: list[IntArray], *, n_fixed: int) -> list[IntArray]:
    """Return the clusters in the order in which each adds most; the fixed ones stay in front."""
    ordered = chosen[:n_fixed]
    waiting = chosen[n_fixed:]
    while waiting:
        gains = [_share(table, [*ordered, cluster]) for cluster in waiting]
        ordered.append(waiting.pop(int(np.argmax(gains))))
    return ordered
