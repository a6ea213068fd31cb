"""Outlines of cells as polygons and rings."""

from __future__ import annotations

from typing import Final

import numpy as np
from affine import Affine
from rasterio.features import shapes
from shapely.geometry import LinearRing, Polygon

from funnelfinder.grid import Grid
from funnelfinder.kernels import BoolArray

#: A staircase of cells along a slanting edge strays less than this from the edge [cells].
STAIR_CELLS: Final = 1.0


def polygons_of(mask: BoolArray, grid: Grid, corner: tuple[int, int] = (0, 0)) -> list[Polygon]:
    """Return the outlines of the true cells, with their holes [m].

    Parameters
    ----------
    mask : (rows, cols) bool
        Cells; a part of the grid whose first cell is ``corner`` (row, col).
    grid : Grid
        Where they lie.
    """
    row, col = corner
    transform = grid.transform @ Affine.translation(col, row)
    found = shapes(mask.astype(np.uint8), mask=mask, connectivity=4, transform=transform)
    return [Polygon(rings[0], rings[1:]) for rings in (one["coordinates"] for one, _ in found)]


def outline_of(mask: BoolArray, grid: Grid, window: tuple[slice, ...]) -> Polygon:
    """Return the largest outline of the true cells of a window, its staircase taken out [m]."""
    corner = (int(window[0].start), int(window[1].start))
    largest = max(polygons_of(mask, grid, corner), key=lambda one: one.area)
    plain = largest.simplify(STAIR_CELLS * grid.cell_m)
    return plain if isinstance(plain, Polygon) and not plain.is_empty else largest


def plain_rings(polygon: Polygon, stray_m: float) -> list[LinearRing]:
    """Return the outer and inner rings of a polygon without what strays less than ``stray_m``."""
    rings = (ring.simplify(stray_m) for ring in (polygon.exterior, *polygon.interiors))
    return [LinearRing(ring) for ring in rings if len(ring.coords) > 3]
