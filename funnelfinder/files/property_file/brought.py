"""Keeps what was brought in, all of it or nothing: grids, crops, picture, and their origins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from affine import Affine
from rasterio.enums import Resampling
from rasterio.vrt import WarpedVRT

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.coverages import (
    COVERAGES,
    coverage_of,
    coverage_row,
    drop_coverages,
    known_coverages,
    read_coverage,
    write_coverage,
)
from funnelfinder.files.property_file.grids import drop_grids, write_grids
from funnelfinder.files.property_file.opening import connected, steadily
from funnelfinder.files.property_file.origins import read_origins, write_origins
from funnelfinder.files.property_file.place import put_cover_table
from funnelfinder.files.property_file.tables import read_rows, write_rows
from funnelfinder.files.property_file.writing import quick, replaced, transaction
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Grids, Origin, Raster
from funnelfinder.kernels import AnyArray
from funnelfinder.land_cover import CoverTable
from funnelfinder.progress import QUIET, Part, Progress

_CROPS: Final = "crops"
_PICTURE: Final = "picture"
_WEB_MAP: Final = 3857
#: Quality of the JPEG tiles that a picture is kept in, of 100 (judgement).
_QUALITY: Final = 85


@dataclass(frozen=True, kw_only=True)
class Picture:
    """Colours, (rows, cols, 3) uint8, on square cells of the web map (EPSG:3857).

    ``transform`` leads from (col, row) to web map metres.
    """

    colours: AnyArray
    transform: Affine


def save_brought(
    path: Path | str,
    *,
    epsg: int,
    grids: Grids | None = None,
    table: CoverTable | None = None,
    crops: Raster | None = None,
    picture: Picture | None = None,
    origins: Sequence[Origin] = (),
    progress: Progress = QUIET,
) -> None:
    """Keep what was brought in; what is None stays as it is in the file.

    Parameters
    ----------
    path : path
        The property file.
    epsg : int
        Code of the property's UTM zone.
    grids : Grids, optional
        With their own origins.
    table : CoverTable, optional
        What the codes of new cover mean; it comes with them or not at all.
    crops : Raster, optional
        Crop codes on the travel grid.
    picture : Picture, optional
        Aerial picture.
    origins : sequence of Origin
        Of crops and picture.
    progress : Progress
        Told of each part; may stop the work.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or a new one not be written; it is as it was.
    Stopped
        If ``progress`` says so; the file is as it was.
    """

    def change(fresh: Path) -> None:
        if grids is not None:
            write_grids(fresh, grids, Part(progress, 0.0, 0.6))
        if table is not None:
            _write_table(fresh, table)
        for kind, thing in ((_CROPS, crops), (_PICTURE, picture)):
            if thing is not None:
                _forget(fresh, kind, [one for one in origins if one.kind == kind], epsg)
        if crops is not None:
            _write_crops(fresh, crops)
        if picture is not None:
            _write_picture(fresh, picture)
        progress.step(1.0, "Kept")

    replaced(Path(path), change)


def forget_grids(path: Path | str, *, epsg: int, table: CoverTable | None = None) -> None:
    """Take the grids of a property out of its file, as where opening them is taken back.

    Parameters
    ----------
    path : path
        The property file.
    epsg : int
        Code of the property's UTM zone.
    table : CoverTable, optional
        The cover table from before the grids; it comes back with them gone or not at all.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or a new one not be written; it is as it was.
    """

    def change(fresh: Path) -> None:
        drop_grids(fresh, epsg)
        if table is not None:
            _write_table(fresh, table)

    replaced(Path(path), change)


def load_origins(path: Path | str) -> tuple[Origin, ...]:
    """Return where the grids and pictures of a property were brought from.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> tuple[Origin, ...]:
        with connected(file) as db:
            return read_origins(db)

    return steadily(file, read)


def load_crops(path: Path | str) -> Raster | None:
    """Return the crop codes that a property keeps, None if it has none.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> Raster | None:
        with connected(file) as db:
            coverage = known_coverages(db).get(_CROPS)
        if coverage is None:
            return None
        return Raster(
            grid=coverage.grid,
            values=read_coverage(file, coverage),
            source=coverage.source,
            source_cell_m=coverage.source_cell_m,
        )

    return steadily(file, read)


def load_picture(path: Path | str, grid: Grid) -> AnyArray | None:
    """Return the aerial picture that a property keeps on the cells of a grid.

    Returns
    -------
    (rows, cols, 3) uint8 or None
        Colours, read-only; white where the picture ends. None if there is no picture.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> AnyArray | None:
        with connected(file) as db:
            found = db.execute(
                "SELECT count(*) FROM gpkg_contents WHERE table_name = ?", (_PICTURE,)
            ).fetchone()
        return _warped(file, grid) if found[0] else None

    return steadily(file, read)


def _forget(path: Path, kind: str, rows: Sequence[Origin], epsg: int) -> None:
    """Take what was there before out of a file, and write the origins of what comes."""
    with connected(path) as db:
        quick(db)
        with transaction(db):
            drop_coverages(db, [kind])
            write_origins(db, rows, [kind], epsg=epsg)
        db.execute("VACUUM")


def _write_table(path: Path, table: CoverTable) -> None:
    """Write what the codes of the cover mean."""
    with connected(path) as db:
        quick(db)
        with transaction(db):
            put_cover_table(db, table)


def _write_crops(path: Path, crops: Raster) -> None:
    """Write crop codes."""
    coverage = coverage_of(
        _CROPS,
        crops.grid,
        crops.values,
        source=crops.source,
        source_cell_m=crops.source_cell_m,
    )
    with connected(path) as db, transaction(db):
        rows = read_rows(db, COVERAGES)
        write_rows(db, COVERAGES, [*rows, coverage_row(coverage)], epsg=coverage.epsg)
    write_coverage(path, coverage, crops.values, words="Code of the crop planted", unit="1")


def _write_picture(path: Path, picture: Picture) -> None:
    """Write a picture as tiles, and see that it is there."""
    n_rows, n_cols = picture.colours.shape[:2]
    options: dict[str, Any] = {
        "RASTER_TABLE": _PICTURE,
        "RASTER_IDENTIFIER": _PICTURE,
        "RASTER_DESCRIPTION": "Aerial picture",
        "TILE_FORMAT": "JPEG",
        "QUALITY": str(_QUALITY),
        "APPEND_SUBDATASET": "YES",
    }
    with (
        rasterio.Env(OGR_SQLITE_SYNCHRONOUS="OFF"),
        rasterio.open(
            path,
            "w",
            driver="GPKG",
            height=n_rows,
            width=n_cols,
            count=3,
            dtype="uint8",
            crs=f"EPSG:{_WEB_MAP}",
            transform=picture.transform,
            **options,
        ) as tiles,
    ):
        tiles.write(np.moveaxis(picture.colours, -1, 0))
    with rasterio.open(path, driver="GPKG", TABLE=_PICTURE) as tiles:
        again = np.moveaxis(tiles.read([1, 2, 3]), 0, -1)
    if again.shape != picture.colours.shape:
        raise PropertyFileError(
            "The picture could not be written as it is.",
            remedy="Free some space and try again; the file is as it was.",
        )


def _warped(path: Path, grid: Grid) -> AnyArray:
    """Return the picture on the cells of a grid."""
    with (
        rasterio.open(path, driver="GPKG", TABLE=_PICTURE) as tiles,
        WarpedVRT(
            tiles,
            crs=rasterio.CRS.from_epsg(grid.epsg),
            transform=grid.transform,
            width=grid.n_cols,
            height=grid.n_rows,
            resampling=Resampling.bilinear,
            add_alpha=tiles.count < 4,
        ) as warped,
    ):
        bands = np.moveaxis(warped.read([1, 2, 3]), 0, -1)
        seen = warped.dataset_mask() > 0
    return frozen(np.where(seen[..., None], bands, 255).astype(np.uint8))
