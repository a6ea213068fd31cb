"""Kept rasters on the cells of a travel grid."""

from __future__ import annotations

import numpy as np

from funnelfinder.errors import GridError
from funnelfinder.grid import Grid
from funnelfinder.ground.arrays import Raster
from funnelfinder.ground.masks import block_mean
from funnelfinder.kernels import AnyArray, FloatArray

#: Two edges this near to each other are one [cells].
_SAME = 1e-6


def mean_on(raster: Raster, grid: Grid) -> FloatArray:
    """Return mean heights on the cells of a grid, NaN where nothing is known.

    Raises
    ------
    GridError
        If the raster's cells do not divide the grid's, or it does not reach over them.
    """
    blocks, n = _blocks(raster, grid, np.nan)
    return block_mean(blocks, n)


def majority_on(raster: Raster, grid: Grid) -> AnyArray:
    """Return the commonest class on the cells of a grid; the nearest where cells are finer.

    Raises
    ------
    GridError
        As for `mean_on`.
    """
    if raster.grid.cell_m > grid.cell_m + _SAME:
        return _nearest(raster, grid)
    blocks, n = _blocks(raster, grid, raster.values[0, 0])
    if n == 1:
        return np.array(blocks)
    codes = np.unique(blocks)
    counts = np.stack([block_mean(blocks == code, n) for code in codes])
    return np.asarray(codes[np.argmax(counts, axis=0)])


def _blocks(raster: Raster, grid: Grid, outside: float) -> tuple[AnyArray, int]:
    """Return the raster cut or padded to the grid's extent, and its cells a grid cell."""
    ratio = grid.cell_m / raster.grid.cell_m
    n = round(ratio)
    top = (raster.grid.north_m - grid.north_m) / raster.grid.cell_m
    left = (grid.west_m - raster.grid.west_m) / raster.grid.cell_m
    fits = abs(ratio - n) < _SAME and max(abs(top - round(top)), abs(left - round(left))) < _SAME
    beyond = max(
        -top,
        -left,
        top + grid.n_rows * n - raster.grid.n_rows,
        left + grid.n_cols * n - raster.grid.n_cols,
    )
    # Coarser cells may reach over the edge of the finer by less than one of their own.
    if n < 1 or not fits or beyond >= max(n, 1):
        raise GridError(
            "The kept grid was read for another extent or cell size.",
            where=raster.source,
            remedy="Add the grids again.",
        )
    return _window(
        raster.values, round(top), round(left), (grid.n_rows * n, grid.n_cols * n), outside
    ), n


def _window(
    values: AnyArray, top: int, left: int, shape: tuple[int, int], outside: float
) -> AnyArray:
    """Return a window of an array, padded where it reaches beyond."""
    if top == 0 and left == 0 and values.shape == shape:
        return values
    window = np.full(shape, outside, dtype=values.dtype)
    row0, col0 = max(top, 0), max(left, 0)
    row1 = min(top + shape[0], values.shape[0])
    col1 = min(left + shape[1], values.shape[1])
    window[row0 - top : row1 - top, col0 - left : col1 - left] = values[row0:row1, col0:col1]
    return window


def _nearest(raster: Raster, grid: Grid) -> AnyArray:
    """Return a coarser raster's values at the cells of a grid."""
    y = grid.north_m - (np.arange(grid.n_rows) + 0.5) * grid.cell_m
    x = grid.west_m + (np.arange(grid.n_cols) + 0.5) * grid.cell_m
    rows = np.floor((raster.grid.north_m - y) / raster.grid.cell_m).astype(int)
    cols = np.floor((x - raster.grid.west_m) / raster.grid.cell_m).astype(int)
    if min(rows.min(), cols.min()) < 0 or (
        rows.max() >= raster.grid.n_rows or cols.max() >= raster.grid.n_cols
    ):
        raise GridError(
            "The kept land cover does not reach over the whole ground.",
            where=raster.source,
            remedy="Add the grids again.",
        )
    return np.array(raster.values[np.ix_(rows, cols)])
