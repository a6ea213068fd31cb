"""The cells that a property is computed on, and the way between cells and the map.

Arrays are ``[row, col]``, row 0 in the north. Points are ``(x_m, y_m)``, easting first, shape
``(n, 2)``, in metres of a UTM zone (EPSG 326xx or 327xx).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Any, TypeVar

import numpy as np
from affine import Affine

from funnelfinder.errors import GridError
from funnelfinder.kernels import AnyArray, FloatArray, IntArray

_Array = TypeVar("_Array", bound="np.ndarray[Any, Any]")


@dataclass(frozen=True, kw_only=True)
class Grid:
    """Square cells, north up, edges on whole multiples of the cell size.

    Parameters
    ----------
    epsg : int
        Code of the UTM zone.
    west_m, north_m : float
        Map coordinates of the outer corner of cell (0, 0) [m].
    cell_m : float
        Side of a cell [m].
    n_rows, n_cols : int
        Numbers of cells.

    Raises
    ------
    GridError
        If a number is not finite or a count is not positive.
    """

    epsg: int
    west_m: float
    north_m: float
    cell_m: float
    n_rows: int
    n_cols: int

    def __post_init__(self) -> None:
        numbers = (self.west_m, self.north_m, self.cell_m)
        if not all(map(math.isfinite, numbers)) or self.cell_m <= 0:
            raise GridError("A grid needs finite corners and cells larger than 0 m.")
        if self.n_rows < 1 or self.n_cols < 1:
            raise GridError("A grid needs at least one cell.")

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.n_rows, self.n_cols

    @property
    def n_cells(self) -> int:
        """Number of cells."""
        return self.n_rows * self.n_cols

    @property
    def east_m(self) -> float:
        """Map coordinate of the eastern edge [m]."""
        return self.west_m + self.n_cols * self.cell_m

    @property
    def south_m(self) -> float:
        """Map coordinate of the southern edge [m]."""
        return self.north_m - self.n_rows * self.cell_m

    @property
    def bounds_m(self) -> tuple[float, float, float, float]:
        """West, south, east, north [m]."""
        return self.west_m, self.south_m, self.east_m, self.north_m

    @cached_property
    def transform(self) -> Affine:
        """From (col, row) to (x_m, y_m), as rasterio wants it."""
        return Affine(self.cell_m, 0.0, self.west_m, 0.0, -self.cell_m, self.north_m)

    def rows_cols(self, points_m: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return fractional rows and columns of map points; cell (0, 0) is centred on (0, 0).

        Examples
        --------
        >>> grid = Grid(epsg=32617, west_m=0, north_m=10, cell_m=5, n_rows=2, n_cols=2)
        >>> grid.rows_cols(np.array([[2.5, 7.5], [7.5, 2.5]]))
        (array([0., 1.]), array([0., 1.]))
        """
        points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
        rows = (self.north_m - points[:, 1]) / self.cell_m - 0.5
        cols = (points[:, 0] - self.west_m) / self.cell_m - 0.5
        return rows, cols

    def points_m(self, rows: AnyArray, cols: AnyArray) -> FloatArray:
        """Return map points, shape (n, 2), of fractional rows and columns."""
        x_m = self.west_m + (np.asarray(cols, dtype=np.float64) + 0.5) * self.cell_m
        y_m = self.north_m - (np.asarray(rows, dtype=np.float64) + 0.5) * self.cell_m
        return np.column_stack([np.ravel(x_m), np.ravel(y_m)])

    def nearest_cells(self, points_m: FloatArray) -> tuple[IntArray, IntArray]:
        """Return the rows and columns (int64) of the cells nearest to map points."""
        rows, cols = self.rows_cols(points_m)
        return (
            np.clip(np.rint(rows), 0, self.n_rows - 1).astype(np.int64),
            np.clip(np.rint(cols), 0, self.n_cols - 1).astype(np.int64),
        )

    def resized(self, cell_m: float) -> Grid:
        """Return a grid over the same extent (widened to whole cells) with other cells."""
        return snapped_grid(self.bounds_m, cell_m=cell_m, epsg=self.epsg)


def snapped_grid(bounds_m: tuple[float, float, float, float], *, cell_m: float, epsg: int) -> Grid:
    """Return the smallest grid over ``bounds_m`` whose edges are whole multiples of ``cell_m``.

    Parameters
    ----------
    bounds_m : (west, south, east, north)
        Extent to cover [m].
    cell_m : float
        Side of a cell [m].
    epsg : int
        Code of the UTM zone.

    Examples
    --------
    >>> snapped_grid((1, 1, 12, 12), cell_m=5, epsg=32617).bounds_m
    (0.0, 0.0, 15.0, 15.0)
    """
    west, south, east, north = bounds_m
    tiny = 1e-9
    col0, col1 = math.floor(west / cell_m + tiny), math.ceil(east / cell_m - tiny)
    row0, row1 = math.floor(south / cell_m + tiny), math.ceil(north / cell_m - tiny)
    return Grid(
        epsg=epsg,
        west_m=col0 * float(cell_m),
        north_m=row1 * float(cell_m),
        cell_m=float(cell_m),
        n_rows=max(row1 - row0, 1),
        n_cols=max(col1 - col0, 1),
    )


def frozen(array: _Array) -> _Array:
    """Return the array, set read-only."""
    array.flags.writeable = False
    return array
