"""Outlines written for these tests."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import geopandas
import numpy as np
import pytest
import shapely
from pyproj import Transformer

REAL = Path(__file__).parents[3].parent / "shared" / "real"


needs_real = pytest.mark.skipif(not REAL.is_dir(), reason=f"{REAL} is absent")


UTM = 32617


X_0, Y_0 = 312_000.0, 4_441_000.0


#: 400 m x 500 m, about 49 acres.
SQUARE = shapely.box(X_0, Y_0, X_0 + 400, Y_0 + 500)


def degrees(shape: shapely.Geometry, epsg: int = UTM) -> shapely.Geometry:
    """A shape in longitude and latitude."""
    there = Transformer.from_crs(epsg, 4326, always_xy=True)
    return shapely.transform(shape, lambda points: np.column_stack(there.transform(*points.T)))


def frame(
    *shapes: shapely.Geometry, crs: int | None = UTM, **columns: list
) -> geopandas.GeoDataFrame:
    """Rows of a layer."""
    return geopandas.GeoDataFrame(columns, geometry=list(shapes), crs=crs)


def kml(*folders: tuple[str, str]) -> str:
    """A KML document of folders with placemarks."""
    inside = "".join(f"<Folder><name>{name}</name>{marks}</Folder>" for name, marks in folders)
    return (
        '<?xml version="1.0" encoding="UTF-8"?><kml xmlns="http://www.opengis.net/kml/2.2">'
        f"<Document><name>map</name>{inside}</Document></kml>"
    )


def placemark(shape: shapely.Geometry, name: str = "", height: str = ",212.5") -> str:
    """A KML placemark with heights at its points."""
    shape = degrees(shape)
    points = shapely.get_coordinates(shape)
    text = " ".join(f"{x:.9f},{y:.9f}{height}" for x, y in points)
    body = {
        "Point": f"<Point><coordinates>{text}</coordinates></Point>",
        "LineString": f"<LineString><coordinates>{text}</coordinates></LineString>",
        "Polygon": "<Polygon><outerBoundaryIs><LinearRing><coordinates>"
        f"{text}</coordinates></LinearRing></outerBoundaryIs></Polygon>",
    }[shape.geom_type]
    return f"<Placemark><name>{name}</name>{body}</Placemark>"


def gpx(*, waypoints: tuple = (), tracks: tuple = (), routes: tuple = ()) -> str:
    """A GPX document; each entry is (name, type, shape in metres)."""

    def points(tag: str, shape: shapely.Geometry) -> str:
        return "".join(
            f'<{tag} lat="{y:.9f}" lon="{x:.9f}"><ele>200</ele></{tag}>'
            for x, y in shapely.get_coordinates(degrees(shape))
        )

    text = ""
    for name, kind, shape in waypoints:
        x, y = shapely.get_coordinates(degrees(shape))[0]
        text += f'<wpt lat="{y:.9f}" lon="{x:.9f}"><name>{name}</name><type>{kind}</type></wpt>'
    for name, kind, shape in routes:
        text += f"<rte><name>{name}</name><type>{kind}</type>{points('rtept', shape)}</rte>"
    for name, kind, shape in tracks:
        parts = getattr(shape, "geoms", [shape])
        segments = "".join(f"<trkseg>{points('trkpt', part)}</trkseg>" for part in parts)
        text += f"<trk><name>{name}</name><type>{kind}</type>{segments}</trk>"
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="test"'
        f' xmlns="http://www.topografix.com/GPX/1/1">{text}</gpx>'
    )


def zipped(path: Path, members: dict[str, bytes | str]) -> Path:
    """Write an archive."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return path


def shapefile(folder: Path, rows: geopandas.GeoDataFrame, stem: str = "parcel") -> dict[str, bytes]:
    """Write a shapefile; return its parts by suffix."""
    folder.mkdir(exist_ok=True)
    rows.to_file(folder / f"{stem}.shp", engine="pyogrio")
    return {part.suffix: part.read_bytes() for part in folder.glob(f"{stem}.*")}


def same(shape: shapely.Geometry, other: shapely.Geometry) -> bool:
    """Whether two outlines differ by less than a thousandth of their area."""
    return shapely.symmetric_difference(shape, other).area < 1e-3 * other.area


# Boundary: forms ----------------------------------------------------------------------------


def _old_crs(path: Path, rows: geopandas.GeoDataFrame) -> None:
    content = json.loads(rows.to_json())
    content["crs"] = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32617"}}
    path.write_text(json.dumps(content))


def _zip(path: Path, rows: geopandas.GeoDataFrame) -> None:
    parts = shapefile(path.parent / "parts", rows)
    zipped(path, {f"parcel{suffix}": content for suffix, content in parts.items()})


def _zip_folders(path: Path, rows: geopandas.GeoDataFrame) -> None:
    parts = shapefile(path.parent / "parts", rows)
    members = {f"county/2024/Parcel{suffix.upper()}": data for suffix, data in parts.items()}
    zipped(path, {**members, "__MACOSX/county/2024/._Parcel.SHP": b"junk"})


def _dense(rows: geopandas.GeoDataFrame, crs: int) -> geopandas.GeoDataFrame:
    """Rows in another map system, with points enough that their sides stay straight."""
    return rows.set_geometry(rows.segmentize(10)).to_crs(crs)


BARE = shapely.to_geojson(degrees(SQUARE))


WALK = ("walk", "", SQUARE.exterior)


FOLDER = ("Ours", placemark(SQUARE, "Hickory Run"))


WRITERS = {
    "gpkg": lambda path, rows: rows.to_file(path, layer="parcels"),
    "gpkg-albers": lambda path, rows: _dense(rows, 5070).to_file(path),
    "geojson": lambda path, rows: rows.to_crs(4326).to_file(path),
    "geojson-old-crs": _old_crs,
    "geojson-bare": lambda path, _: path.write_text(BARE),
    "json": lambda path, _: path.write_text("\ufeff\n" + BARE, encoding="utf-8"),
    "kml": lambda path, _: path.write_text(kml(FOLDER)),
    "kmz": lambda path, _: zipped(path, {"doc.kml": kml(FOLDER), "icons/a.png": b"\x89PNG"}),
    "gpx": lambda path, _: path.write_text(gpx(tracks=(WALK,))),
    "gpx-route": lambda path, _: path.write_text(gpx(routes=(WALK,))),
    "shp": lambda path, rows: rows.to_file(path),
    "shp-state-plane": lambda path, rows: _dense(rows, 3735).to_file(path),
    "zip": _zip,
    "zip-folders": _zip_folders,
}


def boundary_file(folder: Path, form: str) -> Path:
    """Write the square as a boundary in one form."""
    path = folder / f"land.{form.split('-', maxsplit=1)[0]}"
    WRITERS[form](path, frame(SQUARE, name=["Hickory Run"]))
    return path
