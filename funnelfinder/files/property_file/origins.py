"""Where the grids and pictures of a property were brought from."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Final

from funnelfinder.files.property_file.tables import (
    Row,
    Table,
    columns_of,
    read_rows,
    values_of,
    write_rows,
)
from funnelfinder.ground import Origin

_ORIGINS: Final = Table(
    name="origins",
    words="Where grids and pictures were brought from, when, and under which licence.",
    columns=columns_of(Origin),
)


def read_origins(db: sqlite3.Connection) -> tuple[Origin, ...]:
    """Return what an open file tells of where things were brought from."""
    return tuple(Origin(**row.values) for row in read_rows(db, _ORIGINS))


def write_origins(
    db: sqlite3.Connection, rows: Sequence[Origin], kinds: Sequence[str], *, epsg: int
) -> None:
    """Put rows in the place of those of these kinds, within the caller's transaction."""
    others = [one for one in read_origins(db) if one.kind not in kinds]
    kept = [Row(values_of(one, _ORIGINS)) for one in (*rows, *others)]
    write_rows(db, _ORIGINS, kept, epsg=epsg)
