"""Spots as a person picks them: what a few of them catch together, and what a place would."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.analysis.run import ways_in_of
from funnelfinder.analysis.walking import steps
from funnelfinder.analysis.workings import Workings
from funnelfinder.catch import Catches, catches
from funnelfinder.ground import Grids, Ground
from funnelfinder.kernels import IntArray
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress
from funnelfinder.scrapes import Cluster, cluster_by_hand, is_same_place, judge_place
from funnelfinder.trips import DrawnTrips


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Which trips each of several clusters catches, so that any choice of them can be summed.

    ``clusters`` are those found, then those put by hand since; ``members`` the rows of
    ``catches`` that are each one's scrapes.
    """

    clusters: tuple[Cluster, ...]
    catches: Catches
    members: tuple[IntArray, ...]

    def share_of(self, numbers: Collection[int]) -> float:
        """Return the share of trips that the clusters of these numbers catch together."""
        chosen = [
            rows
            for cluster, rows in zip(self.clusters, self.members, strict=True)
            if cluster.number in numbers
        ]
        if not chosen:
            return 0.0
        return self.catches.share_of_union(np.concatenate(chosen))


def tally(
    place: Property,
    grids: Grids,
    findings: Findings,
    *,
    workings: Workings,
    progress: Progress = QUIET,
) -> Tally:
    """Return what the clusters of findings catch, with those that were put by hand since.

    Parameters
    ----------
    place : Property
        The property as it is now: its beds, foods and picks.
    grids : Grids
        Elevation and land cover.
    findings : Findings
        Whose clusters are counted; their seed draws the trips.
    workings : Workings
        What was kept before.
    progress : Progress
        Told how far it is.
    """
    here = steps(place, grids, seed=findings.seed, workings=workings, progress=progress)
    clusters = (*findings.clusters, *_by_hand(place, findings, here.ground, here.drawn))
    scrapes = [np.array(cluster.scrapes_m).reshape(-1, 2) for cluster in clusters]
    ends = np.cumsum([0, *(one.shape[0] for one in scrapes)])
    every = np.concatenate([np.zeros((0, 2)), *scrapes])
    return Tally(
        clusters=clusters,
        catches=catches(every, here.teller, place.settings.scrapes.reach_m),
        members=tuple(np.arange(a, b) for a, b in pairwise(ends)),
    )


def _by_hand(
    place: Property, findings: Findings, ground: Ground, drawn: DrawnTrips
) -> Sequence[Cluster]:
    """Return the clusters that were put by hand since the findings."""
    near_m = place.settings.redraws.same_place_m
    known = [cluster for cluster in findings.clusters if cluster.is_by_hand]
    picks = [
        pick
        for pick in place.picks
        if pick.is_by_hand
        and pick.is_taken
        and not any(is_same_place(cluster, pick, near_m) for cluster in known)
    ]
    first = max((cluster.number for cluster in findings.clusters), default=0) + 1
    return [
        cluster_by_hand(
            pick,
            first + k,
            ground=ground,
            drawn=drawn,
            pinch_points=findings.pinch_points,
            settings=place.settings.scrapes,
            ways_in=ways_in_of(place),
        )
        for k, pick in enumerate(picks)
    ]


def judge(
    x_m: float,
    y_m: float,
    place: Property,
    grids: Grids,
    *,
    seed: int,
    workings: Workings,
    progress: Progress = QUIET,
) -> tuple[float, str]:
    """Return the share of trips that a scrape at a place would catch, and the rule it breaks.

    The words are empty where every rule allows it.
    """
    here = steps(place, grids, seed=seed, workings=workings, progress=progress)
    return judge_place(x_m, y_m, here.ground, here.teller, place.settings.scrapes)
