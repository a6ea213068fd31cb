"""The aligned arrays of one property: heights, cover, what is removed, and the marks on cells."""

from funnelfinder.ground.arrays import (
    COARSE_COVER_M,
    COARSE_ELEVATION_M,
    Grids,
    Ground,
    Origin,
    Patch,
    Raster,
    credit_lines,
)
from funnelfinder.ground.extent import fine_grid, subdivided, travel_cell_m, travel_grid
from funnelfinder.ground.masks import block_mean, cells_of, distance_m, wide_parts
from funnelfinder.ground.prepare import prepare_ground, with_walkers, without_walkers

__all__ = [
    "COARSE_COVER_M",
    "COARSE_ELEVATION_M",
    "Grids",
    "Ground",
    "Origin",
    "Patch",
    "Raster",
    "block_mean",
    "cells_of",
    "credit_lines",
    "distance_m",
    "fine_grid",
    "prepare_ground",
    "subdivided",
    "travel_cell_m",
    "travel_grid",
    "wide_parts",
    "with_walkers",
    "without_walkers",
]
