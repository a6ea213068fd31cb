"""What kind of place a cluster lies at, what it is called, and why it is there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from shapely import MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from funnelfinder.defaults import ScrapeSettings
from funnelfinder.ground import COARSE_COVER_M, Ground, Patch
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import DOES_BED, WOODS_FOOD
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes.cluster import ClusterKind
from funnelfinder.units import YARD_M, said_length, said_share

#: A cluster this near to a pinch point belongs to it [m] (judgement: twice the usual reach).
_AT_PINCH_M = 55.0


def describe(
    scrapes_m: FloatArray,
    ground: Ground,
    pinch_points: Sequence[PinchPoint],
    share: float,
    settings: ScrapeSettings,
) -> tuple[ClusterKind, str, str]:
    """Return kind, short name and plain sentences of a cluster.

    Parameters
    ----------
    scrapes_m : (n, 2) float64
        Its scrapes [m].
    ground : Ground
        Food sources and cover.
    pinch_points : sequence of PinchPoint
        Where the ground squeezes trips.
    share : float
        Share of the counted trips it catches.
    settings : ScrapeSettings
        Reach, staging distances, and which trips are counted.
    """
    here = MultiPoint(scrapes_m)
    caught = (
        f"{said_share(share)} {settings.trips_counted.words} pass within "
        f"{said_length(settings.reach_m)} of its {len(scrapes_m)} scrapes."
    )
    food, edge_m = _nearest_food(here, ground)
    pinch = _nearest_pinch(here, pinch_points)
    if pinch is not None:
        kind, name, why = ClusterKind.PINCH, _pinch_name(pinch), _pinch_words(pinch)
    elif food is not None and edge_m < settings.staging_near_m:
        kind, name = ClusterKind.FIELD_EDGE, f"{food.label}, edge"
        why = _edge_words(food, edge_m)
    elif food is not None and edge_m <= settings.staging_far_m:
        kind, name = ClusterKind.STAGING, f"{food.label}, staging"
        why = (
            f"Cover {said_length(edge_m)} from the edge of {food.label}, "
            "where trips gather before they step out."
        )
    else:
        kind, name = ClusterKind.TRAVEL, "On the way"
        why = "Trips run thick here, though nothing that we know squeezes them. Look on foot."
    return kind, name, " ".join([caught, why, *_edge_doubt(ground)])


def _edge_words(food: Patch, edge_m: float) -> str:
    """Return what trips do at the edge of a food source."""
    does = "come in" if food.mark.crop.lower() in WOODS_FOOD else "step out"
    where = f"{said_length(edge_m)} from" if edge_m >= YARD_M else "at"
    return f"Trips {does} here, {where} the edge of {food.label}."


def _nearest_food(here: BaseGeometry, ground: Ground) -> tuple[Patch | None, float]:
    """Return the nearest food source and how far its edge is [m]."""
    foods = [food for food in ground.foods if food.mark.crop != DOES_BED]
    distances = [food.mark.geometry.distance(here) for food in foods]
    if not distances:
        return None, np.inf
    nearest = int(np.argmin(distances))
    return foods[nearest], float(distances[nearest])


def _nearest_pinch(here: BaseGeometry, pinch_points: Sequence[PinchPoint]) -> PinchPoint | None:
    """Return the pinch point that a cluster lies at, if any."""
    near = [
        (here.distance(Point(pinch.x_m, pinch.y_m)), number)
        for number, pinch in enumerate(pinch_points)
    ]
    if not near or min(near)[0] > _AT_PINCH_M:
        return None
    return pinch_points[min(near)[1]]


def _pinch_name(pinch: PinchPoint) -> str:
    """Return what a cluster at a pinch point is called."""
    return (pinch.kinds[0] if pinch.kinds else "pinch point").capitalize()


def _pinch_words(pinch: PinchPoint) -> str:
    """Return why a pinch point is one, with what was measured."""
    unexplained = "Trips narrow here; no feature that we know explains it. Look on foot."
    words = " ".join(pinch.reasons) or unexplained
    width = (
        f"Trips run {pinch.squeeze:.1f} times narrower than on even ground: "
        f"{said_length(pinch.width_m)} instead of {said_length(pinch.even_width_m)}."
    )
    return f"{words} {width}"


def _edge_doubt(ground: Ground) -> list[str]:
    """Return how well the edge of the cover is known, where it is known badly."""
    if ground.cover_cell_m <= COARSE_COVER_M:
        return []
    return [f"The cover's edge is known to {said_length(ground.cover_cell_m / 2)} only."]
