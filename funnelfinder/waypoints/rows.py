"""Points as rows of a table: the columns that every format and the report share."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from funnelfinder.waypoints.points import Waypoint, WaypointKind

#: Every column of a point, in order; degrees are WGS 84.
COLUMNS: Final = (
    "name",
    "kind",
    "lon",
    "lat",
    "elevation_m",
    "why",
    "share",
    "squeeze",
    "steadiness",
    "cluster",
    "description",
)
NUMBERS: Final = ("elevation_m", "share", "squeeze", "steadiness")

Row = dict[str, str | float | int | None]


def row_of(point: Waypoint) -> Row:
    """Return a point as its columns; None where a number is not known or not tested."""
    return {
        "name": point.name,
        "kind": point.kind.value,
        "lon": point.lon_deg,
        "lat": point.lat_deg,
        "elevation_m": point.elevation_m,
        "why": point.why,
        "share": point.share,
        "squeeze": point.squeeze,
        "steadiness": point.steadiness,
        "cluster": point.cluster,
        "description": point.description,
    }


def row_from_texts(texts: Mapping[str, str]) -> Row:
    """Return the columns of a point from text; empty or missing numbers are None.

    Raises
    ------
    ValueError
        If a number cannot be read or the kind is unknown.
    """
    row: Row = {name: texts.get(name, "") for name in ("name", "why", "description")}
    row["kind"] = WaypointKind(texts["kind"]).value
    row |= {name: float(texts[name]) for name in ("lon", "lat")}
    row |= {name: float(texts[name]) if texts.get(name) else None for name in NUMBERS}
    row["cluster"] = int(texts.get("cluster") or 0)
    return {name: row[name] for name in COLUMNS}
