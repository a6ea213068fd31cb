"""The stands in force: those that the person chose, else the best trees found.

This is what the window, the verbs and the field sheet ask for stands. A property keeps decisions
(`funnelfinder.marks.StandPick`, in ``Property.stands``); each belongs to a spot by its place:

    picks = (*place.stands, pick_of_stand(stand, cluster))      # take a tree that was found
    picks = (*place.stands, pick_by_hand(x_m, y_m, cluster))    # put one by hand
    stands = stands_for(base, findings.clusters, picks)

While a hand moves a stand, `funnelfinder.stands.judge_stand` says what each place is worth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from funnelfinder.marks import StandPick
from funnelfinder.scrapes import Cluster
from funnelfinder.scrapes.picking import middle_m
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.judging import StandJudge, judge_of, judge_stand
from funnelfinder.stands.spots import Stand, find_stands

#: Two places this near are one tree: they are sought on a lattice of 5 m [m].
_SAME_TREE_M: Final = 5.0
_LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def stands_for(
    base: StandBase, clusters: Sequence[Cluster], picks: Sequence[StandPick]
) -> tuple[Stand, ...]:
    """Return the stands in force, by cluster in the order given.

    A cluster whose stands the person chose has those and no other, whatever rule they break
    (`Stand.faults` says which). Any other has the best trees found, without those that the person
    left out. Names are unique: the person's own, else S, the cluster's number and a letter.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    clusters : sequence of Cluster
        The spots.
    picks : sequence of StandPick
        The person's decisions, ``Property.stands``.
    """
    judge = judge_of(base, clusters)
    names = {pick.name for pick in picks if pick.is_taken and pick.name}
    found: list[Stand] = []
    for cluster in clusters:
        mine = picks_of_spot(picks, clusters, cluster, base.settings.redraws.same_place_m)
        taken = [pick for pick in mine if pick.is_taken]
        stands = _taken(judge, cluster, taken) if taken else _best(base, cluster, mine)
        for stand in stands:
            is_own = stand.is_chosen and stand.name
            is_free = stand.name and stand.name not in names
            name = stand.name if is_own or is_free else _free_name(cluster, names)
            names.add(name)
            found.append(replace(stand, name=name))
    return tuple(found)


def picks_of_spot(
    picks: Sequence[StandPick], clusters: Sequence[Cluster], cluster: Cluster, near_m: float
) -> tuple[StandPick, ...]:
    """Return the decisions that belong to a cluster: the nearest one within ``near_m`` [m]."""
    return tuple(pick for pick in picks if spot_of(pick, clusters, near_m) is cluster)


def spot_of(pick: StandPick, clusters: Sequence[Cluster], near_m: float) -> Cluster | None:
    """Return the cluster that a decision belongs to; None if no run finds one there any more.

    Parameters
    ----------
    pick : StandPick
        A decision on a stand.
    clusters : sequence of Cluster
        The spots there are.
    near_m : float
        How far a spot may have moved [m], ``settings.redraws.same_place_m``.
    """
    here = (pick.spot_x_m, pick.spot_y_m)
    far = [(math.dist(middle_m(one), here), k) for k, one in enumerate(clusters)]
    nearest = min(far, default=(math.inf, 0))
    return clusters[nearest[1]] if nearest[0] <= near_m else None


def pick_of_stand(stand: Stand, cluster: Cluster, *, is_taken: bool = True) -> StandPick:
    """Return the decision to take a stand under its name, or to leave it out."""
    x_m, y_m = middle_m(cluster)
    return StandPick(
        x_m=stand.x_m,
        y_m=stand.y_m,
        spot_x_m=x_m,
        spot_y_m=y_m,
        is_taken=is_taken,
        is_by_hand=stand.is_by_hand,
        name=stand.name if is_taken else "",
    )


def pick_by_hand(
    x_m: float,
    y_m: float,
    cluster: Cluster,
    *,
    name: str = "",
    shot_m: float | None = None,
    note: str = "",
) -> StandPick:
    """Return the decision to put a stand at a place to hunt a cluster."""
    spot_x_m, spot_y_m = middle_m(cluster)
    return StandPick(
        x_m=x_m,
        y_m=y_m,
        spot_x_m=spot_x_m,
        spot_y_m=spot_y_m,
        is_by_hand=True,
        name=name,
        shot_m=shot_m,
        note=note,
    )


def _taken(judge: StandJudge, cluster: Cluster, picks: Sequence[StandPick]) -> Iterator[Stand]:
    """Yield the stands that the person took, nameless where the person gave no name."""
    for pick in picks:
        found = judge_stand(
            judge, pick.x_m, pick.y_m, cluster=cluster.number, shot_m=pick.shot_m, name=pick.name
        )
        if found is not None:
            yield replace(
                found.stand,
                name=pick.name,
                is_chosen=True,
                is_by_hand=pick.is_by_hand,
                note=pick.note,
                key=pick.key,
            )


def _best(base: StandBase, cluster: Cluster, left: Sequence[StandPick]) -> Iterator[Stand]:
    """Yield the trees found, without those that the person left out."""
    gone = [(pick.x_m, pick.y_m) for pick in left]
    for stand in find_stands(base, [cluster]):
        if all(math.dist(one, (stand.x_m, stand.y_m)) > _SAME_TREE_M for one in gone):
            yield stand


def _free_name(cluster: Cluster, names: set[str]) -> str:
    """Return S, the number and the first letter that no other stand has."""
    letters = [*_LETTERS, *(a + b for a in _LETTERS for b in _LETTERS)]
    tried = (f"S{cluster.number}{letter}" for letter in letters)
    return next(name for name in tried if name not in names)
