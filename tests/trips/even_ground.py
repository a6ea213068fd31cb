"""Even ground with a bed and a food source, turned by any angle; shared by the tests of trips."""

from __future__ import annotations

import numpy as np

from funnelfinder.cost import CostSurface, cost_surface
from funnelfinder.ground import Ground
from funnelfinder.marks import Mark, MarkKind
from funnelfinder.trips import PairTrips, factor, pair_trips
from tests import scenes

KAPPA = 0.07
MIDDLE = 600.0


def turned_pair(
    *, cell_m: float, turn_deg: float = 0.0, marks: tuple[Mark, ...] = (), kappa: float = KAPPA
) -> tuple[PairTrips, Ground, CostSurface]:
    """Two discs of 40 m radius, 400 m apart, about the middle of 1200 m × 1200 m."""
    angle = np.radians(turn_deg)
    east, north = 200.0 * np.cos(angle), 200.0 * np.sin(angle)
    place, grids = scenes.scene(
        width=2 * MIDDLE,
        depth=2 * MIDDLE,
        cell_m=cell_m,
        marks=[
            scenes.mark(MarkKind.BED, scenes.disc(MIDDLE - east, MIDDLE - north), "Bed"),
            scenes.mark(
                MarkKind.FOOD, scenes.disc(MIDDLE + east, MIDDLE + north), "Oaks", crop="acorns"
            ),
            *marks,
        ],
    )
    ground = scenes.ground_of(place, grids)
    surface = cost_surface(ground, place.settings.cost)
    pair = pair_trips(factor(surface, kappa), ground.beds, ground.foods, np.array([[1.0]]))[0]
    return pair, ground, surface


def mid_trip_spread_m(pair: PairTrips, turn_deg: float) -> float:
    """Standard deviation of where trips cross the middle, in a band of 30 m."""
    grid = pair.stencil.grid
    rows, cols = np.indices(grid.shape)
    x, y = (grid.points_m(rows, cols) - scenes.corner(MIDDLE, MIDDLE)).T
    angle = np.radians(turn_deg)
    along, across = x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)
    east, north = pair.flux_per_m
    flow = (east * np.cos(angle) + north * np.sin(angle)).ravel()
    band = np.abs(along) < 15.0
    weight = flow[band]
    return float(np.sqrt((weight * across[band] ** 2).sum() / weight.sum()))


def outflow(pair: PairTrips, inside: np.ndarray) -> float:
    """Net flow out of a set of grid cells."""
    stencil = pair.stencil
    is_in = inside.ravel()[stencil.cells]
    edges = stencil.weights.tocoo()
    i, j = edges.coords
    out = is_in[i] & ~is_in[j]
    return float(pair.net_flow(i[out], j[out], edges.data[out]).sum())
