"""The log of a property: what was done where and when."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import shapely

from funnelfinder.errors import PropertyFileError, RecordError
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
from funnelfinder.season import Done, Visit

_VISITS: Final = Table(
    name="visits",
    words="What a person did at a spot, and when.",
    columns=columns_of(Visit, without=("x_m", "y_m")),
    geometry="POINT",
)


def load_log(path: Path | str) -> tuple[Visit, ...]:
    """Return the visits that a property file keeps, in the order entered.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> tuple[Visit, ...]:
        with connected(file) as db:
            return tuple(_visit(row) for row in read_rows(db, _VISITS))

    return steadily(file, read)


def add_visits(path: Path | str, visits: Sequence[Visit], *, epsg: int) -> None:
    """Add visits to the log of a property, in one transaction.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or written; it is as it was.
    """
    with in_place(Path(path)) as db:
        rows = read_rows(db, _VISITS)
        rows += [Row(values_of(one, _VISITS), shapely.Point(one.x_m, one.y_m)) for one in visits]
        write_rows(db, _VISITS, rows, epsg=epsg)


def save_log(path: Path | str, visits: Sequence[Visit], *, epsg: int) -> None:
    """Write the whole log of a property, in one transaction; what it kept before is gone.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or written; it is as it was.
    """
    rows = [Row(values_of(one, _VISITS), shapely.Point(one.x_m, one.y_m)) for one in visits]
    with in_place(Path(path)) as db:
        write_rows(db, _VISITS, rows, epsg=epsg)


def _visit(row: Row) -> Visit:
    """Return the visit that a row keeps."""
    if row.shape is None or row.shape.geom_type != "Point":
        raise PropertyFileError("A visit has no place.", where="visits")
    values = dict(row.values)
    try:
        done = Done(values.pop("done"))
        return Visit(
            **values,
            done=done,
            x_m=float(shapely.get_x(row.shape)),
            y_m=float(shapely.get_y(row.shape)),
        )
    except (RecordError, ValueError) as error:
        raise PropertyFileError(f"A visit cannot be read: {error}", where="visits") from error
