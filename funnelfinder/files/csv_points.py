"""Points as a table: UTF-8, one header line, lines ended as RFC 4180 says."""

from __future__ import annotations

import csv
import io

from funnelfinder.files.points import PointsFile, said_number
from funnelfinder.waypoints import COLUMNS, Row, row_from_texts, row_of

_HEADER = [*COLUMNS, "property"]


def csv_bytes(content: PointsFile) -> bytes:
    """Return the points as CSV; what is not known is empty."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(_HEADER)
    for point in content.points:
        row = row_of(point) | {"cluster": str(point.cluster)}
        texts = [_said(row[name]) for name in COLUMNS]
        writer.writerow([*texts, content.property_name])
    return out.getvalue().encode("utf-8")


def _said(value: str | float | None) -> str:
    """Return a cell of the table."""
    return value if isinstance(value, str) else said_number(value)


def csv_rows(data: bytes) -> list[Row]:
    """Return the points of a table that `csv_bytes` wrote.

    Raises
    ------
    ValueError
        If a column is missing or a number cannot be read.
    """
    reader = csv.DictReader(io.StringIO(data.decode("utf-8"), newline=""))
    missing = set(COLUMNS) - set(reader.fieldnames or ())
    if missing:
        raise ValueError(f"It lacks the column {min(missing)!r}.")
    return [row_from_texts(row) for row in reader]


def csv_owner(data: bytes) -> str | None:
    """Return whose points a table of ours holds; None if something else made it."""
    reader = csv.DictReader(io.StringIO(data.decode("utf-8"), newline=""))
    if reader.fieldnames != _HEADER:
        return None
    return next((row["property"] for row in reader), "")
