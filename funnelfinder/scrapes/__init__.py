"""Scrape clusters chosen together, and what each rule left out."""

from funnelfinder.scrapes.choose import choose_clusters, swapped
from funnelfinder.scrapes.cluster import Cluster, ClusterKind, LeftOut
from funnelfinder.scrapes.find import (
    candidate_places,
    caught_share,
    find_clusters,
    judge_place,
)

__all__ = [
    "Cluster",
    "ClusterKind",
    "LeftOut",
    "candidate_places",
    "caught_share",
    "choose_clusters",
    "find_clusters",
    "judge_place",
    "swapped",
]
