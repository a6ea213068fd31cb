"""The tables that every GeoPackage has, and how a layer or table is entered in them.

References
----------
.. [1] OGC 12-128r18, "GeoPackage Encoding Standard" 1.3.1, annex C (table definitions).
"""

from __future__ import annotations

import sqlite3
from typing import Final

import shapely
from rasterio.crs import CRS
from rasterio.errors import CRSError
from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import PropertyFileError

#: "GPKG" in the file's head, and version 1.3 of the standard.
APPLICATION_ID: Final = 0x47504B47
_STANDARD_VERSION: Final = 10300

_TABLES: Final = """
CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
  description TEXT DEFAULT '',
  last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
CREATE TABLE gpkg_extensions (
  table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL,
  scope TEXT NOT NULL,
  CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name));
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Undefined Cartesian SRS', -1, 'NONE', -1, 'undefined', 'undefined Cartesian'),
  ('Undefined geographic SRS', 0, 'NONE', 0, 'undefined', 'undefined geographic');
"""


def make_package(db: sqlite3.Connection) -> None:
    """Make an empty database a GeoPackage without layers."""
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute(f"PRAGMA user_version = {_STANDARD_VERSION}")
    db.executescript(_TABLES)
    enter_srs(db, 4326)


def enter_srs(db: sqlite3.Connection, epsg: int) -> None:
    """Enter a coordinate reference system where it is missing."""
    if db.execute("SELECT 1 FROM gpkg_spatial_ref_sys WHERE srs_id = ?", (epsg,)).fetchone():
        return
    try:
        crs = CRS.from_epsg(epsg)
    except CRSError as error:
        raise PropertyFileError(
            "No coordinate reference system has this code.", where=f"EPSG:{epsg}"
        ) from error
    wkt = crs.to_wkt()
    db.execute(
        "INSERT INTO gpkg_spatial_ref_sys (srs_name, srs_id, organization,"
        " organization_coordsys_id, definition) VALUES (?, ?, 'EPSG', ?, ?)",
        (wkt.split('"')[1], epsg, epsg, wkt),
    )


def enter_layer(
    db: sqlite3.Connection,
    name: str,
    *,
    words: str,
    geometry: str,
    epsg: int,
    shapes: list[BaseGeometry | None],
) -> None:
    """Enter a layer or plain table with its extent and the present time as its last change."""
    bounds: list[float | None] = [None] * 4
    if any(shape is not None and not shape.is_empty for shape in shapes):
        bounds = [float(edge) for edge in shapely.total_bounds(shapes)]
    db.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, min_x, min_y,"
        " max_x, max_y, srs_id) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (table_name) DO UPDATE SET min_x = excluded.min_x, min_y = excluded.min_y,"
        " max_x = excluded.max_x, max_y = excluded.max_y, srs_id = excluded.srs_id,"
        " last_change = strftime('%Y-%m-%dT%H:%M:%fZ','now')",
        (name, "features" if geometry else "attributes", name, words, *bounds, epsg),
    )
    if geometry:
        db.execute(
            "INSERT INTO gpkg_geometry_columns VALUES (?, 'geom', ?, ?, 0, 0)"
            " ON CONFLICT (table_name) DO UPDATE SET srs_id = excluded.srs_id",
            (name, geometry, epsg),
        )
