"""One bed and one food source on a small ground, with the same on even ground."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from funnelfinder.cost import cost_surface, even_surface
from funnelfinder.defaults import PinchSettings
from funnelfinder.features import Feature
from funnelfinder.marks import Mark, MarkKind
from funnelfinder.pinch_points import PinchPoint, find_pinch_points
from funnelfinder.trips import PairTrips, factor, kappa_per_m, pair_trips
from funnelfinder.units import YARD_M
from tests import scenes

#: The middle between bed and food, in scene coordinates.
MIDDLE = 450.0


def both_pairs(
    wander_yd: float,
    marks: Sequence[Mark] = (),
    *,
    height: scenes.Height = scenes.flat,
    cover: scenes.Height | None = None,
    cell_m: float = 5.0,
) -> tuple[tuple[PairTrips, ...], tuple[PairTrips, ...]]:
    """Trips over 400 m from west to east, here and on even ground."""
    place, grids = scenes.scene(
        width=2 * MIDDLE,
        depth=2 * MIDDLE,
        cell_m=cell_m,
        height=height,
        cover=cover,
        marks=[
            scenes.mark(MarkKind.BED, scenes.disc(MIDDLE - 200, MIDDLE), "Bed"),
            scenes.mark(MarkKind.FOOD, scenes.disc(MIDDLE + 200, MIDDLE), "Oaks", crop="acorns"),
            *marks,
        ],
    )
    ground = scenes.ground_of(place, grids)
    surface = cost_surface(ground, place.settings.cost)
    kappa = kappa_per_m(wander_yd * YARD_M)
    one = np.array([[1.0]])
    here, even = (
        pair_trips(factor(which, kappa), ground.beds, ground.foods, one)
        for which in (surface, even_surface(surface))
    )
    return here, even


def points_of(
    here: tuple[PairTrips, ...],
    even: tuple[PairTrips, ...],
    features: Sequence[Feature] = (),
    **more: object,
) -> tuple[PinchPoint, ...]:
    """Pinch points with the usual settings."""
    return find_pinch_points(
        here,
        even,
        features,
        PinchSettings(**more),
        reach_m=30 * YARD_M,
        detour_share=lambda pair, x_m, y_m: 0.25,
    )
