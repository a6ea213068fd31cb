"""A property file from its making to all that it keeps."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.findings import load_findings
from funnelfinder.files.property_file.grids import load_grids
from funnelfinder.files.property_file.package import make_package
from funnelfinder.files.property_file.place import load_place, write_place
from funnelfinder.files.property_file.writing import made, quick, transaction
from funnelfinder.ground import Grids
from funnelfinder.marks import Property


@dataclass(frozen=True, kw_only=True)
class Kept:
    """All that a property file keeps; grids and findings are None until there are any."""

    place: Property
    grids: Grids | None
    findings: Findings | None


def create(path: Path | str, place: Property) -> None:
    """Make the file of a new property.

    Raises
    ------
    PropertyFileError
        If there is a file of that name already (nothing is ever overwritten), the name does not
        end in .gpkg, or the folder is missing or may not be written.
    """
    file = Path(path)
    if file.suffix.lower() != ".gpkg":
        raise PropertyFileError(
            "The name of a property file ends in .gpkg.",
            where=str(file),
            remedy=f"Call it {file.stem or 'property'}.gpkg.",
        )
    if not file.resolve().parent.is_dir():
        raise PropertyFileError(
            "There is no such folder.", where=str(file.parent), remedy="Make the folder first."
        )
    made(file, lambda fresh: _write_new(fresh, place))


def load(path: Path | str) -> Kept:
    """Return all that a property file keeps.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    return Kept(place=load_place(path), grids=load_grids(path), findings=load_findings(path))


def _write_new(path: Path, place: Property) -> None:
    """Write a new package with a property in it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        quick(db)
        make_package(db)
        with transaction(db):
            write_place(db, place)
