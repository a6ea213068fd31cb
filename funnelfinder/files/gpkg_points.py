"""Points as a GeoPackage of their own: layers ``points`` and ``boundary``, WGS 84.

It is read back by plain SQL, so that the check does not rest on the library that wrote it.
"""

from __future__ import annotations

import sqlite3
import struct
from contextlib import closing
from pathlib import Path
from typing import Final

import geopandas
import pandas as pd
import pyogrio
from shapely.geometry import Point

from funnelfinder.files.points import CREATOR, PointsFile
from funnelfinder.files.xml import from_bytes
from funnelfinder.waypoints import COLUMNS, NUMBERS, Row, row_of

_EPSG: Final = "EPSG:4326"
#: A point without an envelope: magic, version, flags, CRS; byte order, type, x, y (OGC 12-128).
_POINT: Final = struct.Struct("<2sBBiBIdd")


def write_gpkg(path: Path, content: PointsFile) -> None:
    """Write the points and the boundary to a new file.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    notes = {"creator": CREATOR, "property": content.property_name}
    try:
        pyogrio.write_dataframe(
            _points_table(content),
            path,
            layer="points",
            driver="GPKG",
            geometry_type="Point",
            dataset_metadata=notes,
        )
        outline = geopandas.GeoDataFrame(
            {"name": ["BOUNDARY"]}, geometry=[content.boundary], crs=_EPSG
        )
        pyogrio.write_dataframe(outline, path, layer="boundary", driver="GPKG", append=True)
    except (pyogrio.errors.DataSourceError, pyogrio.errors.DataLayerError, RuntimeError) as error:
        raise OSError(str(error)) from error


def _points_table(content: PointsFile) -> geopandas.GeoDataFrame:
    """Return the points as a table with geometry."""
    rows = [row_of(point) for point in content.points]
    table = pd.DataFrame(rows, columns=list(COLUMNS))
    numbers = (*NUMBERS, "lon", "lat")
    table = table.astype({**dict.fromkeys(numbers, "float64"), "cluster": "int64"})
    for name in ("name", "kind", "why", "description"):
        table[name] = table[name].astype("str")
    geometry = [Point(point.lon_deg, point.lat_deg) for point in content.points]
    return geopandas.GeoDataFrame(table, geometry=geometry, crs=_EPSG)


def gpkg_rows(path: Path) -> list[Row]:
    """Return the points of a GeoPackage that `write_gpkg` wrote.

    Raises
    ------
    ValueError
        If it is no GeoPackage or has no such layer.
    """
    columns = ", ".join(f'"{name}"' for name in COLUMNS)
    query = f"SELECT geom, {columns} FROM points ORDER BY fid"
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as base:
            records = base.execute(query).fetchall()
    except sqlite3.Error as error:
        raise ValueError(str(error)) from error
    rows = []
    for geometry, *values in records:
        row: Row = dict(zip(COLUMNS, values, strict=True))
        row["lon"], row["lat"] = _lon_lat(geometry)
        rows.append(row)
    return rows


def _lon_lat(geometry: bytes) -> tuple[float, float]:
    """Return the degrees in a GeoPackage point without an envelope, little-endian."""
    *_, lon, lat = _POINT.unpack(geometry)
    return lon, lat


def gpkg_owner(path: Path) -> str | None:
    """Return whose points a GeoPackage of ours holds; None if something else made it."""
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as base:
            texts = [text for (text,) in base.execute("SELECT metadata FROM gpkg_metadata")]
            layers = {name for (name,) in base.execute("SELECT table_name FROM gpkg_contents")}
    except sqlite3.Error:
        return None
    if layers != {"points", "boundary"}:
        return None
    notes = _notes(texts)
    return notes.get("property") if notes.get("creator", "").startswith("funnelfinder") else None


def _notes(texts: list[str]) -> dict[str, str]:
    """Return the notes that GDAL keeps as XML, by their keys."""
    notes: dict[str, str] = {}
    for text in texts:
        for item in from_bytes(text.encode("utf-8")).iterfind(".//MDI"):
            notes[item.get("key", "")] = item.text or ""
    return notes
