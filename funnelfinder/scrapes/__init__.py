"""Scrape clusters chosen together, and what each rule left out."""

from funnelfinder.scrapes.choose import choose_clusters, swapped
from funnelfinder.scrapes.cluster import Cluster, ClusterKind, LeftOut
from funnelfinder.scrapes.find import (
    candidate_places,
    caught_share,
    cluster_by_hand,
    find_clusters,
    judge_place,
)
from funnelfinder.scrapes.picking import is_same_place, middle_m, pick_of, taken, with_names

__all__ = [
    "Cluster",
    "ClusterKind",
    "LeftOut",
    "candidate_places",
    "caught_share",
    "choose_clusters",
    "cluster_by_hand",
    "find_clusters",
    "is_same_place",
    "judge_place",
    "middle_m",
    "pick_of",
    "swapped",
    "taken",
    "with_names",
]
