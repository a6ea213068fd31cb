"""Cost surfaces and trips straight from arrays, for checks that need no property."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from funnelfinder.barriers import Barrier
from funnelfinder.cost import CostSurface
from funnelfinder.grid import Grid
from funnelfinder.ground import Patch
from funnelfinder.marks import Mark, MarkKind
from funnelfinder.trips import PairTrips, factor, pair_trips


def surface_of(
    cost: np.ndarray,
    *,
    cell_m: float = 1.0,
    slope: tuple[np.ndarray, np.ndarray, np.ndarray] | None = None,
    barriers: Sequence[Barrier] = (),
) -> CostSurface:
    """A surface with its south-west corner at 0, 0; NaN cells are removed.

    ``slope`` is the slope factor and the fall line's east and north.
    """
    cost = np.asarray(cost, dtype=float)
    grid = Grid(
        epsg=32617,
        west_m=0.0,
        north_m=cost.shape[0] * cell_m,
        cell_m=cell_m,
        n_rows=cost.shape[0],
        n_cols=cost.shape[1],
    )
    steep, east, north = slope or (np.ones_like(cost), np.zeros_like(cost), np.zeros_like(cost))
    return CostSurface(
        grid=grid,
        cost=cost,
        slope_factor=steep,
        fall_east=east,
        fall_north=north,
        is_removed=np.isnan(cost),
        barriers=tuple(barriers),
    )


def fence(*points: tuple[float, float], cost_m: float, gaps: Sequence[tuple[float, float]] = ()):
    """A fence through map points."""
    return Barrier(
        name="Fence",
        kind=MarkKind.FENCE,
        points_m=np.array(points, dtype=float),
        cost_m=cost_m,
        gaps_m=tuple(gaps),
    )


def patch(kind: MarkKind, cells: Sequence[int], name: str = "") -> Patch:
    """A bed or food source on flat cells; its outline plays no part here."""
    outline = shapely.box(0, 0, 1, 1)
    return Patch(
        mark=Mark(kind=kind, geometry=outline, name=name, key=name or kind.value),
        cells=np.sort(np.asarray(cells, dtype=np.int64)),
    )


def trips_over(
    surface: CostSurface, kappa: float, bed: Sequence[int], food: Sequence[int]
) -> PairTrips:
    """The trips from flat cells to flat cells."""
    beds, foods = (patch(MarkKind.BED, bed),), (patch(MarkKind.FOOD, food),)
    (pair,) = pair_trips(factor(surface, kappa), beds, foods, np.array([[1.0]]))
    return pair


def all_net_flow(pair: PairTrips) -> np.ndarray:
    """Net flow between all kept cells, dense (n, n)."""
    edges = pair.stencil.weights.tocoo()
    i, j = edges.coords
    flow = np.zeros(edges.shape)
    flow[i, j] = pair.net_flow(i, j, edges.data)
    return flow
