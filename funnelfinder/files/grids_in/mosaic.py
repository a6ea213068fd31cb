"""Files laid on the cells of a property, block by block, earlier files on top."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio.crs
from affine import Affine
from rasterio.enums import Resampling
from rasterio.warp import reproject
from rasterio.windows import Window

from funnelfinder.files.grids_in.grid_file import GridFile, opened, read_window
from funnelfinder.files.grids_in.stacks import Member, Stack, stacked
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


class _Found:
    """What laying files gives, as it grows: values, files that gave any, differences by name."""

    def __init__(self, grid: Grid, layer: Layer) -> None:
        self.hole = layer.hole
        self.values = np.full(grid.shape, layer.hole, dtype=layer.dtype)
        self.used: dict[Path, GridFile] = {}
        self.differences: dict[str, list[AnyArray]] = {}

    def merge(self, old: AnyArray, new: AnyArray, name: str) -> None:
        """Fill the holes of ``old`` with ``new``, and keep where both know and differ."""
        is_new, is_old = ~is_hole(new, self.hole), ~is_hole(old, self.hole)
        both = np.flatnonzero(is_new & is_old)[::_COMPARED_EVERY]
        if both.size:
            differences = np.abs(new.ravel()[both] - old.ravel()[both])
            self.differences.setdefault(name, []).append(differences)
        np.copyto(old, new, where=is_new & ~is_old)


def laid(files: Sequence[GridFile], grid: Grid, layer: Layer, progress: Progress) -> Laid:
    """Return the files laid on a grid; holes of the first are filled by the next."""
    found = _Found(grid, layer)
    stacks = stacked(files)
    for n, stack in enumerate(stacks):
        _lay(stack, grid, layer, found, Part(progress, n / len(stacks), (n + 1) / len(stacks)))
    return Laid(
        values=found.values,
        used=tuple(found.used.values()),
        differences={
            name: float(np.median(np.concatenate(parts)))
            for name, parts in found.differences.items()
        },
    )


def _lay(stack: Stack, grid: Grid, layer: Layer, found: _Found, progress: Progress) -> None:
    """Fill the holes of what was found from a stack of files, block by block."""
    blocks = list(_blocks(grid, stack.whole.cell_m(grid)))
    with ExitStack() as closing:
        datasets = {one.file.path: closing.enter_context(opened(one.file.path)) for one in stack}
        for n, (rows, cols) in enumerate(blocks):
            progress.step(n / len(blocks), f"reading {layer.what} from {stack.said_names}")
            new = _block(datasets, stack, _cut(grid, rows, cols), layer, found)
            if new is not None:
                found.merge(found.values[rows, cols], new, stack.said_names)


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


def _block(
    datasets: dict[Path, Any], stack: Stack, grid: Grid, layer: Layer, found: _Found
) -> AnyArray | None:
    """Return one block of a grid from a stack of open files, None if they do not reach it."""
    whole = stack.whole
    if whole.window(grid) is None:
        return None
    coarser = grid.cell_m / whole.cell_m(grid)
    window = whole.window(grid, margin=_MARGIN_CELLS + math.ceil(coarser))
    if window is None or not any(member.under(window) for member in stack):
        return None
    cells = np.full((window.height, window.width), layer.hole, dtype=layer.dtype)
    for member in stack:
        _add_member(datasets[member.file.path], member, window, cells, layer=layer, found=found)
    source, transform = _north_up(cells, whole.transform, window)
    target = np.full(grid.shape, layer.hole, dtype=layer.dtype)
    # Without holes to look out for the same sums take a quarter of the time.
    has_holes = bool(is_hole(cells, layer.hole).any())
    holes = {"src_nodata": layer.hole, "dst_nodata": layer.hole} if has_holes else {}
    reproject(
        source,
        target,
        src_transform=transform,
        src_crs=rasterio.crs.CRS.from_wkt(whole.crs.to_wkt()),
        dst_transform=grid.transform,
        dst_crs=rasterio.crs.CRS.from_epsg(grid.epsg),
        init_dest_nodata=has_holes,
        resampling=layer.coarsening if coarser > _SAME_CELL else layer.refining,
        tolerance=_TOLERANCE_CELLS,
        **holes,
    )
    return target


def _add_member(
    dataset: Any, member: Member, window: Window, cells: AnyArray, *, layer: Layer, found: _Found
) -> None:
    """Fill the holes of the cells in a window of a stack from one of its files."""
    part = member.under(window)
    if part is None:
        return
    values, counts = read_window(dataset, part, member.file.name)
    new = layer.prepare(member.file, values, counts)
    row, col = (
        part.row_off + member.row - window.row_off,
        part.col_off + member.col - window.col_off,
    )
    found.merge(cells[row : row + part.height, col : col + part.width], new, member.file.name)
    if not is_hole(new, layer.hole).all():
        found.used.setdefault(member.file.path, member.file)


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
