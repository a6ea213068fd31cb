"""Arrays on cells as tiled gridded coverages, lossless, beside the layers of the same file.

References
----------
.. [1] OGC 17-066r1, "GeoPackage Extension for Tiled Gridded Coverage Data", 1.0.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from rasterio.windows import Window

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.tables import Row, Table, columns_of, read_rows, values_of
from funnelfinder.grid import Grid, frozen
from funnelfinder.kernels import AnyArray
from funnelfinder.progress import QUIET, Progress

#: Rows of cells written at once: whole tiles.
_ROWS_AT_ONCE: Final = 1024
#: Tiles held back are packed when the file closes, and closing holds the interpreter's lock (0.6 s
#: for 7 million values): with room for few [bytes] they are packed as they are written.
_HELD_BACK: Final = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """One array on cells: which table keeps it, on which cells, and where it came from.

    ``kept_as`` is the numpy type of its values; the standard has float32 and uint16 only.
    """

    name: str
    epsg: int
    west_m: float
    north_m: float
    cell_m: float
    n_rows: int
    n_cols: int
    kept_as: str
    source: str = ""
    source_cell_m: float = 0.0

    @property
    def grid(self) -> Grid:
        """Its cells."""
        return Grid(
            epsg=self.epsg,
            west_m=self.west_m,
            north_m=self.north_m,
            cell_m=self.cell_m,
            n_rows=self.n_rows,
            n_cols=self.n_cols,
        )


COVERAGES: Final = Table(
    name="coverages",
    words="The cells of each coverage, exactly, and the files that it was read from.",
    columns=columns_of(Coverage),
)


def coverage_of(
    name: str, grid: Grid, values: AnyArray, *, source: str = "", source_cell_m: float = 0.0
) -> Coverage:
    """Return the entry of an array; floating point is kept as float32, all else as uint8."""
    return Coverage(
        name=name,
        epsg=grid.epsg,
        west_m=grid.west_m,
        north_m=grid.north_m,
        cell_m=grid.cell_m,
        n_rows=grid.n_rows,
        n_cols=grid.n_cols,
        kept_as="float32" if values.dtype.kind == "f" else "uint8",
        source=source,
        source_cell_m=source_cell_m,
    )


def coverage_row(coverage: Coverage) -> Row:
    """Return the row that keeps an entry."""
    return Row(values_of(coverage, COVERAGES))


def known_coverages(db: sqlite3.Connection) -> dict[str, Coverage]:
    """Return the entries of an open file's coverages by name."""
    known = {}
    for row in read_rows(db, COVERAGES):
        coverage = Coverage(**row.values)
        if coverage.kept_as not in ("float32", "uint8"):
            raise PropertyFileError(
                f"It is kept as {coverage.kept_as!r}, which is unknown.", where=coverage.name
            )
        known[coverage.name] = coverage
    return known


def drop_coverages(db: sqlite3.Connection, names: Iterable[str]) -> None:
    """Remove coverages from every table that knows them."""
    known = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    by_column = {
        "gpkg_contents": "table_name",
        "gpkg_tile_matrix": "table_name",
        "gpkg_tile_matrix_set": "table_name",
        "gpkg_extensions": "table_name",
        "gpkg_2d_gridded_coverage_ancillary": "tile_matrix_set_name",
        "gpkg_2d_gridded_tile_ancillary": "tpudt_name",
        "gpkg_metadata_reference": "table_name",
        "coverages": "name",
    }
    for name in names:
        for table, column in by_column.items():
            if table in known:
                db.execute(f"DELETE FROM {table} WHERE {column} = ?", (name,))
        db.execute(f'DROP TABLE IF EXISTS "{name}"')


def write_coverage(
    path: Path,
    coverage: Coverage,
    values: AnyArray,
    *,
    words: str,
    unit: str,
    progress: Progress = QUIET,
) -> None:
    """Write an array's tiles into a file of our own that nobody else has open, and check them.

    Raises
    ------
    PropertyFileError
        If what is read back differs from what was written.
    """
    kept = np.asarray(values, dtype=np.float32 if coverage.kept_as == "float32" else np.uint16)
    options: dict[str, Any] = {
        "RASTER_TABLE": coverage.name,
        "RASTER_IDENTIFIER": coverage.name,
        "RASTER_DESCRIPTION": words,
        "FIELD_NAME": coverage.name,
        "QUANTITY_DEFINITION": words,
        "UOM": unit,
        "APPEND_SUBDATASET": "YES",
    }
    # No need to wait for the disk: the file is put in place only when it is whole.
    with (
        rasterio.Env(OGR_SQLITE_SYNCHRONOUS="OFF", GDAL_CACHEMAX=_HELD_BACK),
        rasterio.open(
            path,
            "w",
            driver="GPKG",
            height=coverage.n_rows,
            width=coverage.n_cols,
            count=1,
            dtype=kept.dtype,
            crs=f"EPSG:{coverage.epsg}",
            transform=coverage.grid.transform,
            **options,
        ) as tiles,
    ):
        for row in range(0, coverage.n_rows, _ROWS_AT_ONCE):
            part = kept[row : row + _ROWS_AT_ONCE]
            tiles.write(part, 1, window=Window(0, row, coverage.n_cols, len(part)))
            progress.step(row / coverage.n_rows, f"Writing the {coverage.name.replace('_', ' ')}.")
    if not np.array_equal(_read(path, coverage), values, equal_nan=kept.dtype.kind == "f"):
        raise PropertyFileError(
            f"The {coverage.name.replace('_', ' ')} could not be written as it is.",
            remedy="Free some space and try again; the file is as it was.",
        )


def read_coverage(path: Path, coverage: Coverage) -> AnyArray:
    """Return the values of a coverage, read-only.

    Raises
    ------
    PropertyFileError
        If the tiles are missing or do not fit the entry.
    """
    return frozen(_read(path, coverage))


def _read(path: Path, coverage: Coverage) -> AnyArray:
    """Return the values of a coverage in the type that they had."""
    with rasterio.open(path, driver="GPKG", TABLE=coverage.name) as tiles:
        values: AnyArray = tiles.read(1)
    if values.shape != (coverage.n_rows, coverage.n_cols):
        raise PropertyFileError(
            f"Its {values.shape} cells are not the {coverage.grid.shape} that were kept.",
            where=f"{path}, {coverage.name}",
            remedy="Add the grids again.",
        )
    return values.astype(coverage.kept_as, copy=False)
