"""Tables and layers of a property file, from and to rows of plain values.

A `Table` says once what is kept; `write_rows` makes it where it is missing and adds columns that
a later program brought, `read_rows` reads it whoever wrote it. None of the layers has a spatial
index: its triggers call functions that plain SQLite lacks.
"""

from __future__ import annotations

import json
import math
import sqlite3
import types
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, dataclass, fields
from enum import Enum
from typing import Any, Final, NamedTuple, Union, get_args, get_origin, get_type_hints

from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.geometry import from_blob, to_blob
from funnelfinder.files.property_file.package import enter_layer, enter_srs


class Kind(Enum):
    """What a column holds."""

    TEXT = "text"
    REAL = "real"
    INTEGER = "integer"
    YES_NO = "yes or no"
    BYTES = "bytes"
    WORDS = "several texts"
    NUMBERS = "numbers by name"

    @property
    def standard_type(self) -> str:
        """The type in the standard; what it lacks is kept as JSON text."""
        types_by_kind = {
            Kind.REAL: "DOUBLE",
            Kind.INTEGER: "INTEGER",
            Kind.YES_NO: "BOOLEAN",
            Kind.BYTES: "BLOB",
        }
        return types_by_kind.get(self, "TEXT")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column; ``default`` makes the value of an empty cell, None if it must not be empty.

    A REAL cell that is NaN is kept empty, WORDS are a JSON list of texts and NUMBERS a JSON
    object of numbers by name.
    """

    name: str
    kind: Kind
    default: Callable[[], Any] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table, or a layer if it has a geometry type of the standard (``POINT`` ...)."""

    name: str
    words: str
    columns: tuple[Column, ...]
    geometry: str = ""


class Row(NamedTuple):
    """The values of one row by column, and its geometry where the table is a layer."""

    values: Mapping[str, Any]
    shape: BaseGeometry | None = None


def _nan() -> float:
    """Return what an empty number means."""
    return math.nan


def _nothing() -> None:
    """Return what an empty cell means that may be empty."""


_KINDS: Final = {
    str: Kind.TEXT,
    float: Kind.REAL,
    int: Kind.INTEGER,
    bool: Kind.YES_NO,
    bytes: Kind.BYTES,
    tuple: Kind.WORDS,
    dict: Kind.NUMBERS,
    Mapping: Kind.NUMBERS,
}


def columns_of(row_class: type[Any], *, without: Iterable[str] = ()) -> tuple[Column, ...]:
    """Return the columns that keep a dataclass's fields, except those named in ``without``."""
    left_out = set(without)
    hints = get_type_hints(row_class)
    found = []
    for one in fields(row_class):
        if one.name in left_out:
            continue
        kind, may_be_empty = _kind(hints[one.name])
        default: Callable[[], Any] | None = None
        if may_be_empty:
            default = _nothing
        elif one.default_factory is not MISSING:
            default = one.default_factory
        elif one.default is not MISSING:
            default = _always(one.default)
        elif kind is Kind.REAL:
            default = _nan
        found.append(Column(name=one.name, kind=kind, default=default))
    return tuple(found)


def _always(value: Any) -> Callable[[], Any]:
    """Return a function that returns the value."""
    return lambda: value


def _kind(hint: Any) -> tuple[Kind, bool]:
    """Return the kind of column for a type, and whether a cell may be empty."""
    if get_origin(hint) in (Union, types.UnionType):
        inner = [one for one in get_args(hint) if one is not type(None)]
        return _kind(inner[0])[0], True
    plain = get_origin(hint) or hint
    if isinstance(plain, type) and issubclass(plain, Enum):
        return Kind.TEXT, False
    if plain not in _KINDS or (plain is tuple and get_args(hint) != (str, ...)):
        raise TypeError(f"No kind of column keeps {hint}; keep it in a table of its own.")
    return _KINDS[plain], False


def values_of(row: Any, table: Table) -> dict[str, Any]:
    """Return the values of a dataclass for the columns of a table."""
    return {one.name: getattr(row, one.name) for one in table.columns if hasattr(row, one.name)}


_TO_CELL: Final[dict[Kind, Callable[[Any], Any]]] = {
    Kind.TEXT: str,
    Kind.REAL: lambda value: None if math.isnan(value) else float(value),
    Kind.INTEGER: int,
    Kind.YES_NO: int,
    Kind.BYTES: bytes,
    Kind.WORDS: lambda words: json.dumps([str(word) for word in words], ensure_ascii=False),
    Kind.NUMBERS: lambda numbers: json.dumps(
        {str(name): float(number) for name, number in numbers.items()}, ensure_ascii=False
    ),
}
_FROM_CELL: Final[dict[Kind, Callable[[Any], Any]]] = {
    Kind.TEXT: str,
    Kind.REAL: float,
    Kind.INTEGER: int,
    Kind.YES_NO: bool,
    Kind.BYTES: bytes,
    Kind.WORDS: lambda text: tuple(str(word) for word in json.loads(text)),
    Kind.NUMBERS: lambda text: {str(k): float(v) for k, v in json.loads(text).items()},
}


def _to_cell(value: Any, column: Column) -> Any:
    """Return a value as SQLite keeps it."""
    if value is None:
        return None
    return _TO_CELL[column.kind](value.value if isinstance(value, Enum) else value)


def _from_cell(cell: Any, column: Column, table: Table) -> Any:
    """Return the value of a cell; raises `PropertyFileError` if it cannot be one."""
    where = f"{table.name}.{column.name}"
    if cell is None:
        if column.default is None:
            raise PropertyFileError("A cell is empty that must not be.", where=where)
        return column.default()
    try:
        return _FROM_CELL[column.kind](cell)
    except (TypeError, ValueError, AttributeError) as error:
        raise PropertyFileError(
            f"The cell holds {str(cell)[:40]!r}, which does not belong there.", where=where
        ) from error


def _quoted(name: str) -> str:
    """Return a name as SQL wants it."""
    return '"' + name.replace('"', '""') + '"'


def _known_columns(db: sqlite3.Connection, name: str) -> set[str]:
    """Return the columns that a table has; none if there is no such table."""
    return {row[1] for row in db.execute(f"PRAGMA table_info({_quoted(name)})")}


def _make_table(db: sqlite3.Connection, table: Table) -> None:
    """Make a table, or add the columns that it lacks."""
    known = _known_columns(db, table.name)
    wanted = [f"{_quoted(one.name)} {one.kind.standard_type}" for one in table.columns]
    if not known:
        head = ["fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL"]
        head += [f"geom {table.geometry}"] if table.geometry else []
        db.execute(f"CREATE TABLE {_quoted(table.name)} ({', '.join(head + wanted)})")
        return
    for column, words in zip(table.columns, wanted, strict=True):
        if column.name not in known:
            db.execute(f"ALTER TABLE {_quoted(table.name)} ADD COLUMN {words}")


def write_rows(db: sqlite3.Connection, table: Table, rows: Iterable[Row], *, epsg: int) -> None:
    """Put rows in the place of all that a table holds, within the caller's transaction."""
    kept = list(rows)
    enter_srs(db, epsg)
    _make_table(db, table)
    enter_layer(
        db,
        table.name,
        words=table.words,
        geometry=table.geometry,
        epsg=epsg,
        shapes=[row.shape for row in kept],
    )
    names = ["fid", *(["geom"] if table.geometry else []), *(one.name for one in table.columns)]
    db.execute(f"DELETE FROM {_quoted(table.name)}")
    db.executemany(
        f"INSERT INTO {_quoted(table.name)} ({', '.join(map(_quoted, names))})"
        f" VALUES ({', '.join('?' * len(names))})",
        [_cells(row, number, table, epsg) for number, row in enumerate(kept, start=1)],
    )


def _cells(row: Row, number: int, table: Table, epsg: int) -> list[Any]:
    """Return the cells of a row, its number and geometry first."""
    cells: list[Any] = [number]
    if table.geometry:
        cells.append(None if row.shape is None else to_blob(row.shape, epsg))
    return cells + [_to_cell(row.values.get(one.name), one) for one in table.columns]


def read_rows(db: sqlite3.Connection, table: Table) -> list[Row]:
    """Return the rows of a table in order; none where the file has no such table."""
    known = _known_columns(db, table.name)
    if not known:
        return []
    cursor = db.execute(f"SELECT * FROM {_quoted(table.name)} ORDER BY fid")
    places = {one[0]: place for place, one in enumerate(cursor.description)}
    return [_row(cells, places, table) for cells in cursor]


def _row(cells: tuple[Any, ...], places: dict[str, int], table: Table) -> Row:
    """Return one row of what SQLite gave."""
    values = {
        one.name: _from_cell(cells[places[one.name]] if one.name in places else None, one, table)
        for one in table.columns
    }
    blob = cells[places["geom"]] if table.geometry and "geom" in places else None
    try:
        return Row(values, None if blob is None else from_blob(blob))
    except (TypeError, ValueError) as error:
        raise PropertyFileError(
            "A geometry cannot be read.", where=f"{table.name} {cells[places['fid']]}"
        ) from error
