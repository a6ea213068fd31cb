"""Which clusters a person took, left out or named: picks are places, clusters may move a little."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from funnelfinder.marks import Pick
from funnelfinder.scrapes.cluster import Cluster


def middle_m(cluster: Cluster) -> tuple[float, float]:
    """Return the middle of a cluster's scrapes (x_m, y_m).

    Examples
    --------
    >>> from funnelfinder.scrapes.cluster import ClusterKind
    >>> middle_m(Cluster(number=1, kind=ClusterKind.PINCH, scrapes_m=((0.0, 2.0), (4.0, 4.0)),
    ...     camera_m=(0, 0), camera_bearing_deg=0, share=0.2, gain=0.2))
    (2.0, 3.0)
    """
    n = len(cluster.scrapes_m)
    xs, ys = zip(*cluster.scrapes_m, strict=True)
    return sum(xs) / n, sum(ys) / n


def is_same_place(cluster: Cluster, pick: Pick, near_m: float) -> bool:
    """Return whether a pick means a cluster: its place lies within ``near_m`` of the middle."""
    return math.dist(middle_m(cluster), (pick.x_m, pick.y_m)) <= near_m


def pick_of(cluster: Cluster, picks: Sequence[Pick], near_m: float) -> Pick | None:
    """Return what a person decided of a cluster, the nearest within ``near_m`` [m]; else None."""
    here = middle_m(cluster)
    near = [pick for pick in picks if is_same_place(cluster, pick, near_m)]
    return min(near, key=lambda pick: math.dist(here, (pick.x_m, pick.y_m)), default=None)


def with_names(
    clusters: Iterable[Cluster], picks: Sequence[Pick], near_m: float
) -> tuple[Cluster, ...]:
    """Return the clusters under the names that the person gave them."""
    named = []
    for cluster in clusters:
        pick = pick_of(cluster, picks, near_m)
        named.append(replace(cluster, name=pick.name) if pick and pick.name else cluster)
    return tuple(named)


def taken(clusters: Iterable[Cluster], picks: Sequence[Pick], near_m: float) -> tuple[Cluster, ...]:
    """Return the clusters that the person takes along, under the person's names."""
    found = []
    for cluster in with_names(clusters, picks, near_m):
        pick = pick_of(cluster, picks, near_m)
        if pick is not None and pick.is_taken:
            found.append(cluster)
    return tuple(found)
