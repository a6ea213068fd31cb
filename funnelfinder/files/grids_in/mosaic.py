"""Files laid on the cells of a property, block by block, earlier files on top."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import rasterio.crs
from affine import Affine
from rasterio.enums import Resampling
from rasterio.warp import reproject
from rasterio.windows import Window

from funnelfinder.files.grids_in.grid_file import GridFile, opened, read_window
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray
from funnelfinder.progress import Part, Progress

#: Most cells of a file that are held at once, and most cells of a block (memory, judgement).
MOST_CELLS_HELD: Final = 16_000_000
_BLOCK_CELLS: Final = 1024
#: Cells beyond a block that its resampling needs: two for the cubic kernel, two for safety.
_MARGIN_CELLS: Final = 4
#: Every how many cells two files are compared where they overlap.
_COMPARED_EVERY: Final = 7
#: Cells are coarsened if they become larger than before by more than this.
_SAME_CELL: Final = 1.01
#: How exactly positions are moved between map systems, in cells of the file.
_TOLERANCE_CELLS: Final = 0.02


@dataclass(frozen=True, kw_only=True)
class Layer:
    """How one kind of grid is read.

    ``prepare`` makes an array of ``dtype`` from a file's cells and where they count, with
    ``hole`` where nothing is known; ``coarsening`` and ``refining`` say how cells become larger
    and smaller.
    """

    what: str
    dtype: str
    hole: float
    coarsening: Resampling
    refining: Resampling
    prepare: Callable[[GridFile, AnyArray, BoolArray], AnyArray]


@dataclass(frozen=True, kw_only=True)
class Laid:
    """Values on a grid, which files gave any, and how far overlapping files differ.

    ``differences`` has, for each file that overlaps earlier ones, the median of the absolute
    differences there.
    """

    values: AnyArray
    used: tuple[GridFile, ...]
    differences: dict[str, float]


def laid(files: Sequence[GridFile], grid: Grid, layer: Layer, progress: Progress) -> Laid:
    """Return the files laid on a grid; holes of the first are filled by the next."""
    values = np.full(grid.shape, layer.hole, dtype=layer.dtype)
    used, differences = [], {}
    for n, file in enumerate(files):
        part = Part(progress, n / len(files), (n + 1) / len(files))
        found = _lay(file, grid, layer, values, part)
        if found is not None:
            used.append(file)
            if found.size:
                differences[file.name] = float(np.median(found))
    return Laid(values=values, used=tuple(used), differences=differences)


def _lay(
    file: GridFile, grid: Grid, layer: Layer, values: AnyArray, progress: Progress
) -> AnyArray | None:
    """Fill the holes of ``values`` from a file; return differences to it, None if it gave none."""
    differences: list[AnyArray] = []
    gave = False
    blocks = list(_blocks(grid, file.cell_m(grid)))
    with opened(file.path) as dataset:
        for n, (rows, cols) in enumerate(blocks):
            progress.step(n / len(blocks), f"reading {layer.what} from {file.name}")
            new = _block(dataset, file, _cut(grid, rows, cols), layer)
            if new is None:
                continue
            old = values[rows, cols]
            is_new, is_old = ~is_hole(new, layer.hole), ~is_hole(old, layer.hole)
            gave = gave or bool(is_new.any())
            both = np.flatnonzero(is_new & is_old)[::_COMPARED_EVERY]
            differences.append(np.abs(new.ravel()[both] - old.ravel()[both]))
            np.copyto(old, new, where=is_new & ~is_old)
    return np.concatenate(differences) if gave else None


def is_hole(values: AnyArray, hole: float) -> BoolArray:
    """Return where nothing is known."""
    return np.asarray(np.isnan(values) if math.isnan(hole) else values == hole)


def _blocks(grid: Grid, cell_m: float) -> Iterator[tuple[slice, slice]]:
    """Yield blocks of a grid under which a file has at most `MOST_CELLS_HELD` cells."""
    # A rectangle turned by 45 degrees fills half of the window around it.
    fitting = math.sqrt(MOST_CELLS_HELD / 2) * cell_m / grid.cell_m
    side = max(1, min(_BLOCK_CELLS, int(fitting) - 2 * _MARGIN_CELLS))
    for row in range(0, grid.n_rows, side):
        for col in range(0, grid.n_cols, side):
            yield slice(row, row + side), slice(col, col + side)


def _cut(grid: Grid, rows: slice, cols: slice) -> Grid:
    """Return the part of a grid that a block covers."""
    return Grid(
        epsg=grid.epsg,
        west_m=grid.west_m + cols.start * grid.cell_m,
        north_m=grid.north_m - rows.start * grid.cell_m,
        cell_m=grid.cell_m,
        n_rows=min(rows.stop, grid.n_rows) - rows.start,
        n_cols=min(cols.stop, grid.n_cols) - cols.start,
    )


def _block(dataset: Any, file: GridFile, grid: Grid, layer: Layer) -> AnyArray | None:
    """Return one block of a grid from an open file, None if the file does not reach it."""
    coarser = grid.cell_m / file.cell_m(grid) if file.window(grid) is not None else 0.0
    window = file.window(grid, margin=_MARGIN_CELLS + math.ceil(coarser))
    if window is None:
        return None
    values, counts = read_window(dataset, window, file.name)
    source, transform = _north_up(layer.prepare(file, values, counts), file.transform, window)
    target = np.full(grid.shape, layer.hole, dtype=layer.dtype)
    reproject(
        source,
        target,
        src_transform=transform,
        src_crs=rasterio.crs.CRS.from_wkt(file.crs.to_wkt()),
        src_nodata=layer.hole,
        dst_transform=grid.transform,
        dst_crs=rasterio.crs.CRS.from_epsg(grid.epsg),
        dst_nodata=layer.hole,
        resampling=layer.coarsening if coarser > _SAME_CELL else layer.refining,
        tolerance=_TOLERANCE_CELLS,
    )
    return target


def _north_up(values: AnyArray, transform: Affine, window: Window) -> tuple[AnyArray, Affine]:
    """Return a window's values and transform with rows that run south and columns that run east."""
    place = transform @ Affine.translation(window.col_off, window.row_off)
    if place.e > 0 and place.b == place.d == 0:
        values = values[::-1]
        place = place @ Affine.translation(0, window.height) @ Affine.scale(1, -1)
    if place.a < 0 and place.b == place.d == 0:
        values = values[:, ::-1]
        place = place @ Affine.translation(window.width, 0) @ Affine.scale(-1, 1)
    return np.ascontiguousarray(values), place
