"""One grid file: opened, checked, and read by window only."""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from affine import Affine
from pyproj import CRS, Transformer
from rasterio.errors import NotGeoreferencedWarning, RasterioError
from rasterio.windows import Window

from funnelfinder.errors import GridError
from funnelfinder.files.map_systems import WGS84, horizontal, way
from funnelfinder.grid import Grid
from funnelfinder.kernels import AnyArray, BoolArray, FloatArray

#: Points along a side of a rectangle when it is moved to another map system.
_POINTS_PER_SIDE: Final = 21
#: A file of this many windows a side is sampled for a first look.
_SAMPLES_PER_SIDE: Final = 5
_SAMPLE_CELLS: Final = 128
#: Cells are taken as at least this large, so that no size is 0.
_LEAST_CELL_M: Final = 0.01
_ASK: Final = "Export it again with its coordinate reference system, or ask whoever made it."
_NO_POSITION: Final = Affine.identity()


@dataclass(frozen=True, kw_only=True)
class GridFile:
    """What is known of a grid file before its cells are read.

    ``full_crs`` may have a vertical part, ``crs`` has none; ``transform`` leads from
    (col, row) to coordinates of ``crs``.
    """

    path: Path
    full_crs: CRS
    crs: CRS
    transform: Affine
    n_rows: int
    n_cols: int
    band_unit: str | None
    scale: float
    offset: float
    has_palette: bool

    @property
    def name(self) -> str:
        """The file's name without its folders."""
        return self.path.name

    @cached_property
    def to_degrees(self) -> Transformer:
        """From the file's coordinates to longitude and latitude."""
        return way(self.crs, WGS84)

    @cached_property
    def to_corners(self) -> AnyArray:
        """Longitudes and latitudes along the file's outer edge, shape (n, 2) [deg]."""
        cols, rows = _along(0.0, 0.0, float(self.n_cols), float(self.n_rows))
        x, y = _moved(self.transform, cols, rows)
        degrees: AnyArray = np.column_stack(self.to_degrees.transform(x, y))
        return np.asarray(degrees[np.isfinite(degrees).all(axis=1)])

    def window(self, grid: Grid, margin: int = 0) -> Window | None:
        """Return the file's cells under a grid, widened by ``margin`` cells; None if none are."""
        x, y = _along(*grid.bounds_m)
        transformer = way(grid.epsg, self.crs)
        cols, rows = _moved(~self.transform, *transformer.transform(x, y))
        fine = np.isfinite(cols) & np.isfinite(rows)
        if not fine.any():
            return None
        col0, col1 = _clipped(cols[fine], margin, self.n_cols)
        row0, row1 = _clipped(rows[fine], margin, self.n_rows)
        if col0 >= col1 or row0 >= row1:
            return None
        return Window(col0, row0, col1 - col0, row1 - row0)

    def cell_m(self, grid: Grid) -> float:
        """Return the side of a square as large as one of the file's cells near a grid [m]."""
        window = self.window(grid)
        if window is None:
            raise GridError("It does not reach the property.", where=self.name)
        col, row = window.col_off + window.width / 2, window.row_off + window.height / 2
        cols, rows = np.array([col, col + 1, col]), np.array([row, row, row + 1])
        transformer = way(self.crs, grid.epsg)
        x, y = transformer.transform(*_moved(self.transform, cols, rows))
        if not np.isfinite([*x, *y]).all():
            raise GridError("Its cells lie nowhere on earth.", where=self.name, remedy=_ASK)
        area = abs((x[1] - x[0]) * (y[2] - y[0]) - (x[2] - x[0]) * (y[1] - y[0]))
        return max(round(math.sqrt(area), 2), _LEAST_CELL_M)


def _moved(transform: Affine, x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return points moved by a transform."""
    return (
        transform.a * x + transform.b * y + transform.c,
        transform.d * x + transform.e * y + transform.f,
    )


def _along(x0: float, y0: float, x1: float, y1: float) -> tuple[FloatArray, FloatArray]:
    """Return coordinates along the four sides of a rectangle, in order."""
    t = np.linspace(0.0, 1.0, _POINTS_PER_SIDE)
    x = np.concatenate([x0 + (x1 - x0) * t, x1 + 0 * t, x1 + (x0 - x1) * t, x0 + 0 * t])
    y = np.concatenate([y0 + 0 * t, y0 + (y1 - y0) * t, y1 + 0 * t, y1 + (y0 - y1) * t])
    return x, y


def _clipped(places: FloatArray, margin: int, n: int) -> tuple[int, int]:
    """Return the range of cells that places span, within 0 to n."""
    low, high = math.floor(places.min()), math.ceil(places.max())
    if high <= 0 or low >= n:
        return 0, 0
    return max(low - margin, 0), min(high + margin, n)


@contextmanager
def opened(path: Path) -> Iterator[Any]:
    """Open a grid file with rasterio; what goes wrong in it is a `GridError` with its name."""
    _check_there(path)
    try:
        with rasterio.Env(GTIFF_REPORT_COMPD_CS=True), _open(path) as dataset:
            yield dataset
    except (RasterioError, OSError, UnicodeError) as error:
        raise GridError(
            "It cannot be read as a grid: it is of another kind, damaged, or was copied in part.",
            where=path.name,
            remedy="Copy or download it again, as GeoTIFF.",
        ) from error


def _open(path: Path) -> Any:
    """Open a file; that it does not say where it lies is judged later."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        return rasterio.open(path)


def _check_there(path: Path) -> None:
    """Raise `GridError` for a file that is missing, empty or an archive."""
    if not path.exists():
        raise GridError("There is no such file.", where=str(path), remedy="Check its name.")
    if not path.is_file():
        return
    with path.open("rb") as file:
        head = file.read(4)
    if not head:
        raise GridError("The file is empty.", where=path.name, remedy="Copy it again.")
    if head == b"PK\x03\x04":
        raise GridError(
            "It is a zip archive.", where=path.name, remedy="Unpack it and give the grid inside."
        )


def looked_at(path: Path, grid: Grid) -> GridFile:
    """Return what a file says of itself.

    Raises
    ------
    GridError
        If it is missing, no grid, has several bands, or does not say where it lies.
    """
    with opened(path) as dataset:
        if dataset.count != 1:
            raise GridError(
                _said_bands(dataset.count),
                where=path.name,
                remedy="Give a grid with one band: heights, or class codes.",
            )
        if np.dtype(dataset.dtypes[0]).kind not in "iuf":
            raise GridError("Its cells are no plain numbers.", where=path.name)
        full = _stated_crs(dataset, path.name)
        file = GridFile(
            path=path,
            full_crs=full,
            crs=horizontal(full),
            transform=dataset.transform,
            n_rows=dataset.height,
            n_cols=dataset.width,
            band_unit=dataset.units[0],
            scale=dataset.scales[0],
            offset=dataset.offsets[0],
            has_palette=dataset.colorinterp[0] is rasterio.enums.ColorInterp.palette,
        )
    return _turned_to(file, grid)


def _said_bands(count: int) -> str:
    """Return what is wrong with a number of bands."""
    if count == 0:
        return "It holds several grids, or none, instead of one."
    return f"It has {count} bands; a picture of a grid has, the grid itself has one."


def _stated_crs(dataset: Any, name: str) -> CRS:
    """Return the coordinate reference system of an open file."""
    place = dataset.transform
    if dataset.crs is None or place == _NO_POSITION or place.is_degenerate:
        raise GridError("It does not say where on earth it lies.", where=name, remedy=_ASK)
    crs = CRS.from_wkt(dataset.crs.to_wkt(version="WKT2_2019"))
    if not (horizontal(crs).is_geographic or horizontal(crs).is_projected):
        raise GridError("It has only local coordinates.", where=name, remedy=_ASK)
    return crs


def _turned_to(file: GridFile, grid: Grid) -> GridFile:
    """Return the file, longitudes from 0 to 360 turned to where the grid lies if need be."""
    if file.crs.is_geographic and file.window(grid) is None:
        turned = replace(file, transform=Affine.translation(-360, 0) @ file.transform)
        return turned if turned.window(grid) is not None else file
    return file


def read_window(dataset: Any, window: Window, name: str) -> tuple[AnyArray, BoolArray]:
    """Return the values in a window and where they count, by nodata tag or mask band."""
    try:
        values = dataset.read(1, window=window)
        counts = dataset.read_masks(1, window=window) > 0
    except RasterioError as error:
        raise cut_short(name) from error
    return values, counts


def cut_short(name: str) -> GridError:
    """Return the error of a grid whose values cannot be read to the end."""
    return GridError(
        "It cannot be read to its end: it is damaged or was copied in part.",
        where=name,
        remedy="Copy or download it again.",
    )


def sampled(dataset: Any, window: Window, name: str) -> AnyArray:
    """Return the values that count in small windows spread over a window, corners included."""
    found = []
    side = min(_SAMPLE_CELLS, window.width, window.height)
    for row in np.unique(np.linspace(0, window.height - side, _SAMPLES_PER_SIDE).astype(int)):
        for col in np.unique(np.linspace(0, window.width - side, _SAMPLES_PER_SIDE).astype(int)):
            part = Window(window.col_off + col, window.row_off + row, side, side)
            values, counts = read_window(dataset, part, name)
            found.append(values[counts])
    return np.concatenate(found)
