"""The elevation and land cover that a property keeps."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from funnelfinder.files.property_file.coverages import (
    COVERAGES,
    Coverage,
    coverage_of,
    coverage_row,
    drop_coverages,
    known_coverages,
    read_coverage,
    write_coverage,
)
from funnelfinder.files.property_file.opening import connected, steadily
from funnelfinder.files.property_file.origins import read_origins, write_origins
from funnelfinder.files.property_file.tables import Column, Kind, Row, Table, read_rows, write_rows
from funnelfinder.files.property_file.writing import quick, replaced, transaction
from funnelfinder.ground import Grids, Raster
from funnelfinder.progress import QUIET, Part, Progress

_ELEVATION: Final = "elevation"
_COVER: Final = "land_cover"
_NAMES: Final = (_ELEVATION, _COVER)
#: Kinds of what was brought that the grids are made of.
_KINDS: Final = ("elevation", "cover")
_NOTES: Final = Table(
    name="grid_notes",
    words="What came up when the grids were read.",
    columns=(Column(name="words", kind=Kind.TEXT),),
)


def save_grids(path: Path | str, grids: Grids, *, progress: Progress = QUIET) -> None:
    """Keep the grids of a property in its file, in the place of those before.

    Marks, choices and findings in the file stay as they are.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or a new one not be written; it is as it was.
    Stopped
        If ``progress`` says so; the file is as it was.
    """
    replaced(Path(path), lambda fresh: write_grids(fresh, grids, progress))


def load_grids(path: Path | str) -> Grids | None:
    """Return the grids that a property file keeps; None if it has none.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)
    return steadily(file, lambda: _read_grids(file))


def write_grids(path: Path, grids: Grids, progress: Progress) -> None:
    """Write grids into a file that nobody else has open."""
    elevation, cover = (
        coverage_of(
            name,
            raster.grid,
            raster.values,
            source=raster.source,
            source_cell_m=raster.source_cell_m,
        )
        for name, raster in ((_ELEVATION, grids.elevation), (_COVER, grids.cover))
    )
    with connected(path) as db:
        quick(db)
        with transaction(db):
            drop_coverages(db, _NAMES)
            others = [row for row in read_rows(db, COVERAGES) if row.values["name"] not in _NAMES]
            rows = [coverage_row(elevation), coverage_row(cover), *others]
            write_rows(db, COVERAGES, rows, epsg=elevation.epsg)
            notes = [Row({"words": words}) for words in grids.notes]
            write_rows(db, _NOTES, notes, epsg=elevation.epsg)
            write_origins(db, grids.origins, _KINDS, epsg=elevation.epsg)
        # The pages of the old grids would stay in the file for good.
        db.execute("VACUUM")
    write_coverage(
        path,
        elevation,
        grids.elevation.values,
        words="Height of the ground above sea level",
        unit="m",
        progress=Part(progress, 0.0, 0.7),
    )
    write_coverage(
        path,
        cover,
        grids.cover.values,
        words="Class code of the land cover",
        unit="1",
        progress=Part(progress, 0.7, 1.0),
    )


def drop_grids(path: Path, epsg: int) -> None:
    """Take grids, their notes and origins out of a file that nobody else has open."""
    with connected(path) as db:
        quick(db)
        with transaction(db):
            drop_coverages(db, _NAMES)
            write_rows(db, _NOTES, [], epsg=epsg)
            write_origins(db, (), _KINDS, epsg=epsg)
        db.execute("VACUUM")


def _read_grids(path: Path) -> Grids | None:
    """Return the grids that a file keeps now."""
    with connected(path) as db:
        known = known_coverages(db)
        notes = tuple(row.values["words"] for row in read_rows(db, _NOTES))
        origins = tuple(one for one in read_origins(db) if one.kind in _KINDS)
    if not set(_NAMES) <= set(known):
        return None
    elevation, cover = (_raster(path, known[name]) for name in _NAMES)
    return Grids(elevation=elevation, cover=cover, notes=notes, origins=origins)


def _raster(path: Path, coverage: Coverage) -> Raster:
    """Return a coverage with its cells and source."""
    return Raster(
        grid=coverage.grid,
        values=read_coverage(path, coverage),
        source=coverage.source,
        source_cell_m=coverage.source_cell_m,
    )
