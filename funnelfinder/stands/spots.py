"""Trees that fit a stand beside each scrape cluster."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.catch import catches
from funnelfinder.daylight import Half
from funnelfinder.declination import Leg, leg
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import MarkKind
from funnelfinder.scrapes import Cluster
from funnelfinder.scrapes.places import judged
from funnelfinder.stands.base import StandBase
from funnelfinder.sun import sun_position
from funnelfinder.units import YARD_M, said_length

#: Trees are sought on a lattice of this step [m]; one is kept in each sector about a cluster.
_STEP_M: Final = 5.0
_N_SECTORS: Final = 6
_MOST_PER_CLUSTER: Final = 4
#: The sun blinds within this angle of the line to a scrape, this long from sunrise or sunset.
_BLIND_DEG: Final = 30.0
_LOW_SUN: Final = timedelta(minutes=30)
#: A shot at a scrape may go this far to each side of the line to it (judgement) [deg].
_SHOT_DEG: Final = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """One tree for a stand.

    Parameters
    ----------
    name : str
        S, the cluster's number and a letter.
    cluster : int
        Number of the cluster it hunts.
    x_m, y_m : float
        Where it is [m].
    scrapes_m : tuple of (x_m, y_m)
        The scrapes of the cluster.
    legs : tuple of Leg
        Distance and bearings to each scrape.
    beside_share : float
        Share of trips that pass within a few steps of the tree itself.
    backdrop_share : float
        How much of the ground behind it is woody cover [share].
    sun_in_eyes : tuple of Half
        When the low sun stands behind a scrape.
    in_range : tuple of str
        Houses, roads and boundary within the user's range, and which lie in a line of fire.
    shot_m : float
        How far the person shoots from it [m].
    faults : tuple of str
        The rules that it breaks, in words; a tree that was found breaks none.
    is_chosen, is_by_hand : bool
        Whether the person took it, and whether the person put it there.
    note, key : str
        What the person wrote about it, and the key of the decision; empty for trees found.
    """

    name: str
    cluster: int
    x_m: float
    y_m: float
    scrapes_m: tuple[tuple[float, float], ...]
    legs: tuple[Leg, ...]
    beside_share: float
    backdrop_share: float
    sun_in_eyes: tuple[Half, ...]
    in_range: tuple[str, ...]
    shot_m: float
    faults: tuple[str, ...] = ()
    is_chosen: bool = False
    is_by_hand: bool = False
    note: str = ""
    key: str = ""

    @property
    def out_of_shot(self) -> str:
        """The scrapes that lie beyond the person's shot, like "scrape B, scrape C"; or empty."""
        letters = zip("ABC", self.legs, strict=False)
        far = (f"scrape {letter}" for letter, one in letters if one.length_m > self.shot_m)
        return ", ".join(far)


def find_stands(base: StandBase, clusters: Sequence[Cluster]) -> tuple[Stand, ...]:
    """Return the trees that fit a stand, a few for each cluster, those least passed by first.

    They stand in woody cover of the property at the set distance from the scrapes, off the route,
    where no rule of the scrapes forbids a person to be.
    """
    return tuple(stand for cluster in clusters for stand in _of_cluster(base, cluster))


def _of_cluster(base: StandBase, cluster: Cluster) -> Iterator[Stand]:
    """Yield the stands of one cluster."""
    scrapes = np.array(cluster.scrapes_m)
    points = _fitting(base, scrapes)
    if not points.size:
        return
    beside = catches(points, base.drawn, base.settings.stands.off_route_m).share_of_each()
    behind = np.array([backdrop(base, point, scrapes.mean(axis=0)) for point in points])
    offset = points - scrapes.mean(axis=0)
    sector = ((np.arctan2(offset[:, 1], offset[:, 0]) / (2 * np.pi) + 1) * _N_SECTORS).astype(int)
    order = np.lexsort((-behind, beside.round(2)))
    _, first = np.unique((sector % _N_SECTORS)[order], return_index=True)
    best = order[np.sort(first)][:_MOST_PER_CLUSTER]
    for letter, k in zip("ABCDEFGH", best, strict=False):
        yield told(
            base,
            cluster,
            f"S{cluster.number}{letter}",
            points[k],
            beside_share=float(beside[k]),
            backdrop_share=float(behind[k]),
        )


def _fitting(base: StandBase, scrapes_m: FloatArray) -> FloatArray:
    """Return the lattice points about a cluster that every rule allows, (n, 2) [m]."""
    own = base.settings.stands
    low, high = scrapes_m.min(axis=0) - own.stand_far_m, scrapes_m.max(axis=0) + own.stand_far_m
    xs, ys = (
        np.arange(math.ceil(a / _STEP_M), math.floor(b / _STEP_M) + 1) * _STEP_M
        for a, b in zip(low, high, strict=True)
    )
    points = np.column_stack([one.ravel() for one in np.meshgrid(xs, ys)])
    if not points.size:
        return points
    near = np.hypot(*(points[:, None] - scrapes_m).T).T.min(axis=1)
    points = points[(near >= own.stand_near_m) & (near <= own.stand_far_m)]
    places = judged(points, base.ground, base.settings.scrapes)
    is_kept = places.is_allowed & base.ground.is_woody[places.rows, places.cols]
    to_route = shapely.distance(route_lines(base), shapely.points(points))
    # Where no route runs the distance is NaN.
    return np.asarray(points[is_kept & ~(to_route < own.off_route_m)])


def route_lines(base: StandBase) -> BaseGeometry:
    """Return all routes as one geometry; empty where there is none."""
    lines = [shapely.LineString(one.points_m) for one in base.routes if len(one.points_m) > 1]
    return shapely.union_all(lines)


def backdrop(base: StandBase, point: FloatArray, aim: FloatArray) -> float:
    """Return how much of the ground behind a tree, seen from the scrapes, is woody cover."""
    away = math.atan2(*(point - aim)[::-1])
    angles = away + np.linspace(-math.pi / 3, math.pi / 3, 5)
    ring = np.concatenate(
        [point + far * np.column_stack([np.cos(angles), np.sin(angles)]) for far in (8.0, 16.0)]
    )
    rows, cols = base.ground.grid.nearest_cells(ring)
    return float(base.ground.is_woody[rows, cols].mean())


def told(
    base: StandBase,
    cluster: Cluster,
    name: str,
    point_m: FloatArray,
    *,
    beside_share: float,
    backdrop_share: float,
    shot_m: float | None = None,
) -> Stand:
    """Return a stand with all that is known of it.

    Parameters
    ----------
    base, cluster, name
        Ground, the cluster that it hunts, and what it is called.
    point_m : (2,) float64
        Where it is [m].
    beside_share, backdrop_share : float
        As in `Stand`.
    shot_m : float, optional
        How far the person shoots from it [m]; the setting by default.
    """
    here = (float(point_m[0]), float(point_m[1]))
    legs = tuple(leg(here, one, base.ground.grid.epsg, base.day.on) for one in cluster.scrapes_m)
    range_m = base.settings.stands.shot_range_m if shot_m is None else shot_m
    return Stand(
        name=name,
        cluster=cluster.number,
        x_m=here[0],
        y_m=here[1],
        scrapes_m=cluster.scrapes_m,
        legs=legs,
        beside_share=beside_share,
        backdrop_share=backdrop_share,
        sun_in_eyes=tuple(half for half in Half if _is_blinding(base, half, legs)),
        in_range=tuple(_in_range(base, here, cluster.scrapes_m, range_m)),
        shot_m=range_m,
    )


def _is_blinding(base: StandBase, half: Half, legs: Sequence[Leg]) -> bool:
    """Return whether the low sun stands behind a scrape."""
    day = base.day
    at = day.sunset - _LOW_SUN if half is Half.EVENING else day.sunrise + _LOW_SUN
    lon, lat = base.lon_lat_deg
    _, sun_deg = sun_position(lat, lon, at)
    return any(abs((one.true_deg - sun_deg + 180) % 360 - 180) < _BLIND_DEG for one in legs)


def _in_range(
    base: StandBase,
    here: tuple[float, float],
    scrapes_m: Sequence[tuple[float, float]],
    range_m: float,
) -> Iterator[str]:
    """Yield what lies within the user's range, and whether in a line of fire."""
    things = [
        (mark.label if mark.name else f"a {mark.kind.value}", mark.geometry)
        for mark in base.marks
        if mark.kind in (MarkKind.HOUSE, MarkKind.ROAD)
    ]
    things.append(("the boundary", base.ground.boundary.boundary))
    spot = shapely.Point(here)
    fire = shapely.union_all([_sector(here, scrape, range_m) for scrape in scrapes_m])
    for name, shape in things:
        far_m = shape.distance(spot)
        if far_m <= range_m:
            is_hit = fire.intersects(shape)
            yield f"{name}, {said_length(far_m)}" + (" - IN A LINE OF FIRE" if is_hit else "")


def _sector(here: tuple[float, float], aim: tuple[float, float], range_m: float) -> shapely.Polygon:
    """Return the ground that a shot at a scrape may cross."""
    middle = math.atan2(aim[1] - here[1], aim[0] - here[0])
    angles = middle + np.radians(np.linspace(-_SHOT_DEG, _SHOT_DEG, 9))
    rim = [(here[0] + range_m * math.cos(a), here[1] + range_m * math.sin(a)) for a in angles]
    return shapely.Polygon([here, *rim])


def said_leg(name: str, one: Leg) -> str:
    """Return distance and bearings to a scrape.

    Examples
    --------
    >>> said_leg("C1A", Leg(length_m=18.288, true_deg=90.2, magnetic_deg=97.4))
    'C1A 20 yards at 90 true, 97 magnetic'
    """
    true, magnetic = round(one.true_deg) % 360, round(one.magnetic_deg) % 360
    return f"{name} {one.length_m / YARD_M:.0f} yards at {true} true, {magnetic} magnetic"
