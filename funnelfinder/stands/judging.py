"""What a place is worth for a stand that a hand puts there, and which rule it breaks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.catch import catch_of
from funnelfinder.kernels import FloatArray
from funnelfinder.scrapes import Cluster
from funnelfinder.scrapes.picking import middle_m
from funnelfinder.scrapes.places import judged
from funnelfinder.stands.base import StandBase
from funnelfinder.stands.spots import Stand, backdrop, route_lines, said_leg, told
from funnelfinder.units import said_length, said_share

#: The rule of scrapes that stands keep in a stricter form of their own.
_SCRAPES_ONLY = "cover"


@dataclass(frozen=True, kw_only=True)
class StandJudge:
    """All that judging places for stands shares, so that a pointer can be followed.

    ``shares`` is the share of trips that each of ``clusters`` catches, ``route`` all routes.
    """

    base: StandBase
    clusters: tuple[Cluster, ...]
    shares: tuple[float, ...]
    route: BaseGeometry


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedStand:
    """A place for a stand: the stand it would be, the share its scrapes catch, all in words.

    The rules that it breaks are ``stand.faults``.
    """

    stand: Stand
    share: float
    words: str


def judge_of(base: StandBase, clusters: Sequence[Cluster]) -> StandJudge:
    """Return what judging places for stands shares; make it once, then call `judge_stand`.

    Parameters
    ----------
    base : StandBase
        Ground and trips.
    clusters : sequence of Cluster
        The spots that may be hunted.
    """
    reach_m = base.settings.scrapes.reach_m
    return StandJudge(
        base=base,
        clusters=tuple(clusters),
        shares=tuple(catch_of(np.array(one.scrapes_m), base.drawn, reach_m) for one in clusters),
        route=route_lines(base),
    )


def judge_stand(
    judge: StandJudge,
    x_m: float,
    y_m: float,
    *,
    cluster: int | None = None,
    shot_m: float | None = None,
    name: str = "",
) -> JudgedStand | None:
    """Return what a place is worth for a stand, None where there is no spot to hunt.

    Parameters
    ----------
    judge : StandJudge
        From `judge_of`.
    x_m, y_m : float
        The place [m].
    cluster : int, optional
        Number of the spot that it hunts; the nearest by default.
    shot_m : float, optional
        How far the person shoots from it [m]; the setting by default. A longer shot than the
        settings' widens the rule on the distance to the scrapes.
    name : str
        What it is called.
    """
    point = np.array([x_m, y_m])
    numbers = [k for k, one in enumerate(judge.clusters) if cluster in (None, one.number)]
    if not numbers:
        return None
    k = min(numbers, key=lambda k: math.dist(middle_m(judge.clusters[k]), (x_m, y_m)))
    base, spot = judge.base, judge.clusters[k]
    stand = told(
        base,
        spot,
        name or f"S{spot.number}",
        point,
        beside_share=catch_of(point, base.drawn, base.settings.stands.off_route_m),
        backdrop_share=backdrop(base, point, np.array(spot.scrapes_m).mean(axis=0)),
        shot_m=shot_m,
    )
    faults = (*_distance_faults(base, spot, point, shot_m), *_place_faults(judge, point))
    stand = replace(stand, faults=faults)
    return JudgedStand(stand=stand, share=judge.shares[k], words=_said(stand, judge.shares[k]))


def _distance_faults(
    base: StandBase, spot: Cluster, point: FloatArray, shot_m: float | None
) -> Iterator[str]:
    """Yield what is wrong with the distance to the scrapes."""
    own = base.settings.stands
    far_m = own.stand_far_m if shot_m is None else max(own.stand_far_m, shot_m)
    near = min(math.dist(point, one) for one in spot.scrapes_m)
    if near < own.stand_near_m:
        least = said_length(own.stand_near_m)
        yield f"{said_length(near)} from a scrape, at least {least} is asked"
    if near > far_m:
        yield f"{said_length(near)} from the nearest scrape, at most {said_length(far_m)} is asked"


def _place_faults(judge: StandJudge, point: FloatArray) -> Iterator[str]:
    """Yield what is wrong with the place itself."""
    base, own = judge.base, judge.base.settings.stands
    places = judged(point[None, :], base.ground, base.settings.scrapes)
    for rule, is_broken in places.broken:
        if is_broken[0] and rule.name != _SCRAPES_ONLY:
            yield rule.words(float(point[0]), float(point[1]))
    if not base.ground.is_woody[places.rows[0], places.cols[0]]:
        yield "no tree: it is not in woody cover"
    to_route = float(shapely.distance(judge.route, shapely.Point(point)))
    if to_route < own.off_route_m:
        least = said_length(own.off_route_m)
        yield f"{said_length(to_route)} from a route, at least {least} is asked"


def _said(stand: Stand, share: float) -> str:
    """Return a place for a stand in words."""
    letters = zip("ABC", stand.legs, strict=False)
    legs = "; ".join(said_leg(f"C{stand.cluster}{letter}", one) for letter, one in letters)
    words = (
        f"{legs}. C{stand.cluster} catches {said_share(share)} trips;"
        f" {said_share(stand.beside_share)} pass the tree itself."
    )
    if stand.out_of_shot:
        words += f" Beyond your shot of {said_length(stand.shot_m)}: {stand.out_of_shot}."
    return f"{words} It breaks a rule: {'; '.join(stand.faults)}." if stand.faults else words
