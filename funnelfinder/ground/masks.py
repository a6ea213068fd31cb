"""Marks and distances on cells."""

from __future__ import annotations

import numpy as np
import shapely
from rasterio.features import rasterize
from scipy import ndimage
from shapely.geometry.base import BaseGeometry

from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray
from funnelfinder.marks import Mark


def block_mean(values: AnyArray, n: int) -> FloatArray:
    """Return means over n × n blocks, NaN only where a whole block is NaN."""
    if n == 1:
        return np.asarray(values, dtype=np.float64)
    rows, cols = values.shape[0] // n, values.shape[1] // n
    blocks = np.asarray(values, dtype=np.float64)[: rows * n, : cols * n].reshape(rows, n, cols, n)
    known = np.isfinite(blocks)
    count = known.sum(axis=(1, 3))
    total = np.where(known, blocks, 0.0).sum(axis=(1, 3))
    return np.where(count > 0, total / np.maximum(count, 1), np.nan)


def cells_of(geometry: BaseGeometry, grid: Grid) -> BoolArray:
    """Return the cells whose centres lie in a geometry; at least one where it meets the grid."""
    if geometry.is_empty or not geometry.intersects(shapely.box(*grid.bounds_m)):
        return np.zeros(grid.shape, dtype=bool)
    mask: BoolArray = rasterize(
        [(geometry, 1)],
        out_shape=grid.shape,
        transform=grid.transform,
        dtype="uint8",
        all_touched=geometry.geom_type not in ("Polygon", "MultiPolygon"),
    ).astype(bool)
    if not mask.any():
        point = geometry.representative_point()
        rows, cols = grid.nearest_cells(np.array([[point.x, point.y]]))
        mask[rows[0], cols[0]] = True
    return mask


def union_cells(marks: list[Mark], grid: Grid) -> BoolArray:
    """Return the cells of any of the marks."""
    mask = np.zeros(grid.shape, dtype=bool)
    for mark in marks:
        mask |= cells_of(mark.geometry, grid)
    return mask


def distance_m(mask: BoolArray, cell_m: float) -> FloatArray:
    """Return the distance from each cell to the nearest true cell [m]; infinite without one."""
    if not mask.any():
        return np.full(mask.shape, np.inf)
    return np.asarray(ndimage.distance_transform_edt(~mask, sampling=cell_m))


def wide_parts(mask: BoolArray, cell_m: float, across_m: float) -> BoolArray:
    """Return the parts of a mask that are at least ``across_m`` across (an opening)."""
    if not mask.any():
        return mask
    # In whole cells strips of one and of two cells have the same depth; in halves they differ.
    halves = np.pad(mask, 1, mode="edge").repeat(2, axis=0).repeat(2, axis=1)
    inner = distance_m(~halves, cell_m / 2)
    core = inner >= across_m / 2 - 1e-9
    near = distance_m(core, cell_m / 2)[2:-2, 2:-2] <= across_m / 2 + 1e-9
    rows, cols = mask.shape
    return np.asarray(mask & near.reshape(rows, 2, cols, 2).any(axis=(1, 3)))
