"""Points as GeoJSON by RFC 7946: WGS 84, longitude first, no ``crs``.

The boundary is left to the formats that keep it apart from the points; here every feature is a
point.
"""

from __future__ import annotations

import json
from typing import Any

from funnelfinder.files.points import CREATOR, PointsFile
from funnelfinder.waypoints import COLUMNS, Row, row_of


def geojson_bytes(content: PointsFile) -> bytes:
    """Return the points as a FeatureCollection, with who made it and for which property."""
    document: dict[str, Any] = {
        "type": "FeatureCollection",
        "creator": CREATOR,
        "property": content.property_name,
        "features": [_feature(row_of(point)) for point in content.points],
    }
    text = json.dumps(document, ensure_ascii=False, indent=1, allow_nan=False)
    return (text + "\n").encode("utf-8")


def _feature(row: Row) -> dict[str, Any]:
    """Return one feature; what is not known is null."""
    return {
        "type": "Feature",
        "id": row["name"],
        "geometry": {"type": "Point", "coordinates": [row["lon"], row["lat"]]},
        "properties": {name: row[name] for name in COLUMNS if name not in ("lon", "lat")},
    }


def geojson_rows(data: bytes) -> list[Row]:
    """Return the points of a document that `geojson_bytes` wrote.

    Raises
    ------
    ValueError
        If it is no JSON or a member is missing.
    """
    try:
        return [_row(feature) for feature in json.loads(data)["features"]]
    except (KeyError, TypeError, IndexError) as error:
        raise ValueError(f"No such member: {error}") from error


def _row(feature: dict[str, Any]) -> Row:
    """Return the columns of one feature."""
    lon, lat = feature["geometry"]["coordinates"][:2]
    values = {**feature["properties"], "lon": lon, "lat": lat}
    return {name: values[name] for name in COLUMNS}


def geojson_owner(data: bytes) -> str | None:
    """Return whose points a document of ours holds; None if something else made it."""
    document = json.loads(data)
    if not isinstance(document, dict):
        return None
    if not str(document.get("creator", "")).startswith("funnelfinder"):
        return None
    return str(document.get("property", ""))
