"""The camera records of a property: stays and sightings, changed in one transaction."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Final

import shapely

from funnelfinder.errors import PropertyFileError, RecordError
from funnelfinder.evidence import CameraLog, CameraStay, Deer, Sighting
from funnelfinder.files.property_file.opening import connected, steadily
from funnelfinder.files.property_file.tables import (
    Row,
    Table,
    columns_of,
    read_rows,
    values_of,
    write_rows,
)
from funnelfinder.files.property_file.writing import in_place

_STAYS: Final = Table(
    name="cameras",
    words="Where cameras hung, and from when to when.",
    columns=columns_of(CameraStay, without=("x_m", "y_m")),
    geometry="POINT",
)
_SIGHTINGS: Final = Table(
    name="sightings",
    words="Which deer a camera saw, and when; stay is the key of a row of cameras.",
    columns=columns_of(Sighting),
)


def load_cameras(path: Path | str) -> CameraLog:
    """Return the camera records that a property file keeps; empty where it has none.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> CameraLog:
        with connected(file) as db:
            return _log(db)

    return steadily(file, read)


def change_cameras(
    path: Path | str, change: Callable[[CameraLog], CameraLog], *, epsg: int
) -> tuple[CameraLog, CameraLog]:
    """Change the camera records of a property in one transaction; return before and after.

    To take a change back, change to what was before.

    Parameters
    ----------
    path : Path or str
        The property file.
    change : callable
        Takes the records that the file keeps and returns those that it shall keep.
    epsg : int
        Of the property.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or written; it is as it was.
    """
    with in_place(Path(path)) as db:
        before = _log(db)
        after = change(before)
        if after != before:
            stays = [
                Row(values_of(one, _STAYS), shapely.Point(one.x_m, one.y_m)) for one in after.stays
            ]
            write_rows(db, _STAYS, stays, epsg=epsg)
            rows = [Row(values_of(one, _SIGHTINGS)) for one in after.sightings]
            write_rows(db, _SIGHTINGS, rows, epsg=epsg)
    return before, after


def _log(db: sqlite3.Connection) -> CameraLog:
    """Return the records that an open file keeps."""
    try:
        return CameraLog(
            stays=tuple(_stay(row) for row in read_rows(db, _STAYS)),
            sightings=tuple(
                Sighting(**{**row.values, "deer": Deer(row.values["deer"])})
                for row in read_rows(db, _SIGHTINGS)
            ),
        )
    except PropertyFileError:
        raise
    except (RecordError, ValueError) as error:
        raise PropertyFileError(
            f"A camera record cannot be read: {error}", where="cameras"
        ) from error


def _stay(row: Row) -> CameraStay:
    """Return the stay that a row keeps."""
    if row.shape is None or row.shape.geom_type != "Point":
        raise PropertyFileError("A camera has no place.", where="cameras")
    return CameraStay(
        **row.values, x_m=float(shapely.get_x(row.shape)), y_m=float(shapely.get_y(row.shape))
    )
