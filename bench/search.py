"""A level cost surface for the searches, where all that differs is the search."""

from __future__ import annotations

import numpy as np

from funnelfinder.cost import CostSurface
from funnelfinder.grid import Grid


def level_surface(cost: np.ndarray) -> CostSurface:
    """Return a cost surface of level ground in cells of 1 m."""
    n_rows, n_cols = cost.shape
    return CostSurface(
        grid=Grid(
            epsg=32617, west_m=0.0, north_m=float(n_rows), cell_m=1.0, n_rows=n_rows, n_cols=n_cols
        ),
        cost=cost,
        slope_factor=np.ones(cost.shape),
        fall_east=np.zeros(cost.shape),
        fall_north=np.zeros(cost.shape),
        is_removed=np.zeros(cost.shape, dtype=bool),
        barriers=(),
    )
