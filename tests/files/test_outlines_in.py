"""Boundary and mark files as people have them: forms, map systems, shapes, words, and dangers.

Every file is written here; the park boundary is real, lies outside the repository and is skipped
where absent.
"""

from __future__ import annotations

import contextlib
import io
import json
import random
import stat
import struct
import tempfile
import zipfile
from pathlib import Path

import geopandas
import numpy as np
import pytest
import shapely
from pyproj import Transformer

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.errors import GridError, MarkError
from funnelfinder.files.map_systems import true_area_m2
from funnelfinder.files.outlines_in import read_boundary, read_marks, safe_copies
from funnelfinder.files.property_file import create
from funnelfinder.ground import travel_cell_m
from funnelfinder.marks import MarkKind, Property
from funnelfinder.units import ACRE_M2
from tests.scenes import EPSG, disc, ground_of, line, mark, polygon, scene, with_marks

REAL = Path(__file__).parents[2].parent / "shared" / "real"
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


@pytest.mark.parametrize("form", WRITERS)
def test_a_boundary_comes_in_from_any_form(tmp_path, form):
    path = boundary_file(tmp_path, form)
    before = {one: one.read_bytes() for one in tmp_path.rglob("*") if one.is_file()}
    boundary = read_boundary(path)
    assert boundary.epsg == UTM
    assert same(boundary.outline, SQUARE)
    assert boundary.outline.geom_type == "MultiPolygon"
    assert not boundary.outline.has_z
    assert boundary.name in ("Hickory Run", "land", "walk")
    after = {one: one.read_bytes() for one in tmp_path.rglob("*") if one.is_file()}
    assert after == before


def test_nothing_is_left_in_the_temporary_folder(tmp_path, monkeypatch):
    scratch = tmp_path / "scratch"
    scratch.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(scratch))
    read_boundary(boundary_file(tmp_path, "zip"))
    with pytest.raises(MarkError):
        read_boundary(zipped(tmp_path / "none.zip", {"readme.txt": "none"}))
    assert list(scratch.iterdir()) == []


def test_a_wrong_suffix_does_not_matter(tmp_path):
    path = tmp_path / "land.txt"
    path.write_text(shapely.to_geojson(degrees(SQUARE)))
    assert same(read_boundary(path).outline, SQUARE)


def test_a_shapefile_without_its_index_is_read_and_left_as_it_was(tmp_path):
    shapefile(tmp_path, frame(SQUARE))
    (tmp_path / "parcel.shx").unlink()
    assert same(read_boundary(tmp_path / "parcel.shp").outline, SQUARE)
    assert not (tmp_path / "parcel.shx").exists()


def test_a_zipped_shapefile_without_its_index_is_read(tmp_path):
    parts = shapefile(tmp_path / "parts", frame(SQUARE))
    members = {f"p{suffix}": data for suffix, data in parts.items() if suffix != ".shx"}
    assert same(read_boundary(zipped(tmp_path / "p.zip", members)).outline, SQUARE)


@pytest.mark.parametrize("is_zipped", [False, True])
def test_a_shapefile_without_its_prj_is_asked_about(tmp_path, is_zipped):
    parts = shapefile(tmp_path, frame(SQUARE))
    path = tmp_path / "parcel.shp"
    (tmp_path / "parcel.prj").unlink()
    if is_zipped:
        members = {f"p{suffix}": data for suffix, data in parts.items() if suffix != ".prj"}
        path = zipped(tmp_path / "p.zip", members)
    with pytest.raises(MarkError, match=r"does not say where on earth.*\.prj"):
        read_boundary(path)


def test_another_part_of_a_shapefile_is_pointed_to_the_right_one(tmp_path):
    shapefile(tmp_path, frame(SQUARE))
    for suffix in (".shx", ".dbf", ".prj"):
        with pytest.raises(MarkError, match=r"the file that ends in \.shp"):
            read_boundary(tmp_path / f"parcel{suffix}")


# Boundary: shapes ---------------------------------------------------------------------------


def test_parts_and_holes_stay(tmp_path):
    hole = shapely.box(X_0 + 100, Y_0 + 100, X_0 + 200, Y_0 + 200)
    far = shapely.box(X_0 + 900, Y_0, X_0 + 1000, Y_0 + 100)
    whole = shapely.union(shapely.difference(SQUARE, hole), far)
    frame(whole).to_file(tmp_path / "land.gpkg")
    outline = read_boundary(tmp_path / "land.gpkg").outline
    assert len(outline.geoms) == 2
    assert sum(len(part.interiors) for part in outline.geoms) == 1
    assert same(outline, whole)


def test_several_parcels_make_one_boundary_with_a_note(tmp_path):
    next_door = shapely.box(X_0 + 390, Y_0, X_0 + 700, Y_0 + 500)
    frame(SQUARE, next_door, name=["North", "South"]).to_file(tmp_path / "land.gpkg")
    boundary = read_boundary(tmp_path / "land.gpkg")
    assert same(boundary.outline, shapely.union(SQUARE, next_door))
    assert boundary.name == "land"
    assert "land.gpkg: 2 outlines were joined to one boundary." in boundary.notes


@pytest.mark.parametrize("form", ["gpkg", "geojson", "shp"])
def test_heights_at_the_points_are_dropped(tmp_path, form):
    path = tmp_path / f"land.{form}"
    frame(shapely.force_3d(SQUARE, 212.0)).to_crs(4326).to_file(path)
    outline = read_boundary(path).outline
    assert not outline.has_z
    assert same(outline, SQUARE)


def test_an_outline_that_crosses_itself_says_where(tmp_path):
    # A bow tie: its sides cross in the middle of the square.
    bow = shapely.Polygon([(X_0, Y_0), (X_0 + 400, Y_0 + 500), (X_0 + 400, Y_0), (X_0, Y_0 + 500)])
    middle = degrees(shapely.Point(X_0 + 200, Y_0 + 250))
    frame(bow).to_file(tmp_path / "land.gpkg")
    with pytest.raises(MarkError, match=r"land\.gpkg: .*crosses") as caught:
        read_boundary(tmp_path / "land.gpkg")
    assert f"{middle.y:.4f}" in str(caught.value)
    assert f"{-middle.x:.4f}" in str(caught.value)


def test_an_open_ring_is_closed(tmp_path):
    points = [list(point) for point in degrees(SQUARE).exterior.coords][:-1]
    path = tmp_path / "land.geojson"
    path.write_text(json.dumps({"type": "Polygon", "coordinates": [points]}))
    assert same(read_boundary(path).outline, SQUARE)


def walk(gap_m: float) -> shapely.LineString:
    """A walk round the square that ends ``gap_m`` short of its start."""
    ring = SQUARE.exterior
    return shapely.ops.substring(ring, 0, ring.length - gap_m)


def test_a_track_with_near_ends_is_closed_with_a_note(tmp_path):
    (tmp_path / "walk.gpx").write_text(gpx(tracks=(("walk", "", walk(40)),)))
    boundary = read_boundary(tmp_path / "walk.gpx")
    assert same(boundary.outline, SQUARE)
    assert any("44 yards apart, were joined" in note for note in boundary.notes)


def test_an_open_track_is_an_error_that_says_how_far(tmp_path):
    (tmp_path / "walk.gpx").write_text(gpx(tracks=(("walk", "", walk(400)),)))
    with pytest.raises(MarkError, match=r"walk\.gpx: It is an open line: its ends are 437 yards"):
        read_boundary(tmp_path / "walk.gpx")


def test_open_tracks_beside_a_closed_one_are_left_out_with_a_note(tmp_path):
    tracks = (("round", "", walk(40)), ("to the stand", "", walk(700)))
    (tmp_path / "gps.gpx").write_text(gpx(tracks=tracks))
    boundary = read_boundary(tmp_path / "gps.gpx")
    assert same(boundary.outline, SQUARE)
    assert any("a line was left out. It is an open line" in note for note in boundary.notes)


def test_pauses_and_stray_segments_of_a_track_do_not_matter(tmp_path):
    ring = SQUARE.exterior
    pieces = [shapely.ops.substring(ring, a, a + 440) for a in (0, 450, 900, 1350)]
    track = shapely.GeometryCollection([*pieces[:2], shapely.Point(X_0, Y_0), *pieces[2:]])
    text = gpx(tracks=(("walk", "", track),))
    assert text.count("<trkseg>") == 5
    lone = shapely.get_coordinates(degrees(shapely.Point(X_0, Y_0)))
    assert len(lone) == 1
    (tmp_path / "walk.gpx").write_text(text)
    outline = read_boundary(tmp_path / "walk.gpx").outline
    assert outline.area == pytest.approx(SQUARE.area, rel=0.01)


def test_a_track_that_overlaps_its_start_keeps_the_large_loop(tmp_path):
    ring = [*SQUARE.exterior.coords]
    over = shapely.LineString([(X_0 + 30, Y_0 - 8), *ring[:-1], (X_0 - 6, Y_0 + 30)])
    crossing = shapely.LineString([*over.coords, (X_0 + 20, Y_0 + 20)])
    (tmp_path / "walk.gpx").write_text(gpx(tracks=(("walk", "", crossing),)))
    boundary = read_boundary(tmp_path / "walk.gpx")
    assert boundary.outline.area == pytest.approx(SQUARE.area, rel=0.02)
    assert boundary.outline.is_valid


def test_a_track_of_a_phone_as_kml_is_closed_too(tmp_path):
    points = "".join(f"<when>2026-10-0{n + 1}T10:00:00Z</when>" for n in range(5)) + "".join(
        f"<gx:coord>{x:.9f} {y:.9f} 200</gx:coord>" for x, y in degrees(SQUARE).exterior.coords
    )
    text = kml(("Walk", f"<Placemark><name>walk</name><gx:Track>{points}</gx:Track></Placemark>"))
    text = text.replace("<kml ", '<kml xmlns:gx="http://www.google.com/kml/ext/2.2" ')
    (tmp_path / "walk.kml").write_text(text)
    assert same(read_boundary(tmp_path / "walk.kml").outline, SQUARE)


def test_an_old_datum_is_said_to_be_rough(tmp_path):
    # NAD 27 / UTM 17N: without shift grids its positions are known to tens of metres.
    frame(SQUARE).to_crs(26717).to_file(tmp_path / "land.gpkg")
    boundary = read_boundary(tmp_path / "land.gpkg")
    assert any("land.gpkg: positions on its old datum" in note for note in boundary.notes)


def test_a_figure_of_eight_track_is_an_error(tmp_path):
    eight = shapely.LineString([(0, 0), (400, 500), (400, 0), (0, 500), (0, 0)])
    eight = shapely.affinity.translate(eight, X_0, Y_0)
    (tmp_path / "walk.gpx").write_text(gpx(tracks=(("walk", "", eight),)))
    with pytest.raises(MarkError, match="crosses or touches itself near 40"):
        read_boundary(tmp_path / "walk.gpx")


def test_a_tenth_of_an_acre_runs_with_a_note(tmp_path):
    side = np.sqrt(0.1 * ACRE_M2)
    frame(shapely.box(X_0, Y_0, X_0 + side, Y_0 + side)).to_file(tmp_path / "land.gpkg")
    boundary = read_boundary(tmp_path / "land.gpkg")
    assert "land.gpkg: the boundary holds only 0.1 acres." in boundary.notes


def test_500_square_miles_are_refused_unless_a_cell_size_is_given(tmp_path):
    side = np.sqrt(500) * 1609.344
    frame(shapely.box(X_0, Y_0, X_0 + side, Y_0 + side)).to_file(tmp_path / "land.gpkg")
    boundary = read_boundary(tmp_path / "land.gpkg")
    place = Property(name=boundary.name, epsg=boundary.epsg, boundary=boundary.outline)
    with pytest.raises(GridError, match=r"320,\d\d\d acres .*set travel-cell"):
        travel_cell_m(place)
    settings = with_setting(Settings(), "travel-cell", "30")
    place = Property(name="Large", epsg=UTM, boundary=boundary.outline, settings=settings)
    assert travel_cell_m(place) == 30.0


@pytest.mark.parametrize(("east_m", "zone"), [(-300.0, 16), (300.0, 17)])
def test_across_a_zone_edge_the_centroid_decides(tmp_path, east_m, zone):
    # The edge of zones 16 and 17 is the meridian of 84 degrees west.
    x, y = Transformer.from_crs(4326, 32616, always_xy=True).transform(-84.0, 40.1)
    outline = shapely.box(x + east_m - 1000, y, x + east_m + 1000, y + 800)
    frame(outline, crs=32616).to_file(tmp_path / "land.gpkg")
    boundary = read_boundary(tmp_path / "land.gpkg")
    assert boundary.epsg == 32600 + zone
    expected = true_area_m2(outline, 32616)
    assert true_area_m2(boundary.outline, boundary.epsg) == pytest.approx(expected, rel=1e-6)


def test_south_of_the_equator(tmp_path):
    outline = shapely.box(350_000, 5_900_000, 350_500, 5_900_500)
    frame(outline, crs=32755).to_crs(4326).to_file(tmp_path / "land.geojson")
    boundary = read_boundary(tmp_path / "land.geojson")
    assert boundary.epsg == 32755
    assert same(boundary.outline, outline)


def test_beyond_utm_is_an_error(tmp_path):
    path = tmp_path / "pole.geojson"
    path.write_text(shapely.to_geojson(shapely.box(10, 86, 11, 86.1)))
    with pytest.raises(MarkError, match="beyond 84"):
        read_boundary(path)


def test_metres_stated_as_degrees_are_an_error(tmp_path):
    (tmp_path / "land.geojson").write_text(shapely.to_geojson(SQUARE))
    with pytest.raises(MarkError, match=r"land\.geojson: Its map system is in degrees"):
        read_boundary(tmp_path / "land.geojson")


def test_the_layer_called_boundary_is_taken_among_several(tmp_path):
    bed = shapely.box(X_0 + 10, Y_0 + 10, X_0 + 50, Y_0 + 50)
    path = tmp_path / "all.kml"
    path.write_text(kml(("Beds", placemark(bed)), ("Property boundary", placemark(SQUARE))))
    assert same(read_boundary(path).outline, SQUARE)
    path.write_text(kml(("Beds", placemark(bed)), ("Mine", placemark(SQUARE))))
    with pytest.raises(MarkError, match=r"Several layers could be the boundary \(Beds, Mine\)"):
        read_boundary(path)


def test_a_file_of_marks_is_no_boundary(tmp_path):
    frame(SQUARE, kind=["bed"]).to_file(tmp_path / "marks.gpkg")
    with pytest.raises(MarkError, match=r"marks\.gpkg: It holds marks, no boundary"):
        read_boundary(tmp_path / "marks.gpkg")


def test_points_are_no_boundary(tmp_path):
    (tmp_path / "points.gpx").write_text(gpx(waypoints=(("a", "", shapely.Point(X_0, Y_0)),)))
    with pytest.raises(MarkError, match="only points, no outline"):
        read_boundary(tmp_path / "points.gpx")


@needs_real
def test_the_park_is_read_and_too_large_to_run_without_asking():
    boundary = read_boundary(REAL / "canyon_30m" / "zion.gpkg")
    assert boundary.epsg == 32612
    # 148,733 acres by the park's own figures (National Park Service, Zion, park statistics; from
    # memory); outline and deed differ a little.
    area = true_area_m2(boundary.outline, boundary.epsg) / ACRE_M2
    assert area == pytest.approx(148_733, rel=0.01)
    with pytest.raises(GridError, match="acres are more than"):
        travel_cell_m(Property(name="Park", epsg=32612, boundary=boundary.outline))


# Files that are damaged or dangerous --------------------------------------------------------

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE kml [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9))
    + ']><kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>&j;</name></Document></kml>'
)
OUTSIDE = (
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
    '<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
    "<wpt lat='40' lon='-83'><name>&x;</name></wpt></gpx>"
)


@pytest.mark.parametrize("text", [BOMB, OUTSIDE], ids=["entities", "outside"])
@pytest.mark.parametrize("form", ["kml", "gpx", "geojson", "kmz", "zip", "utf-16"])
def test_xml_with_entities_is_refused_in_any_wrapping(tmp_path, text, form):
    path = tmp_path / f"land.{form}"
    if form in ("kmz", "zip"):
        zipped(path, {"doc.kml": text})
    elif form == "utf-16":
        path.write_text(text.replace('"1.0"', '"1.0" encoding="UTF-16"'), encoding="utf-16")
    else:
        path.write_text(text)
    for reader in (read_boundary, lambda one: read_marks(one, epsg=UTM)):
        with pytest.raises(MarkError, match="document type") as caught:
            reader(path)
        assert path.name in str(caught.value)


def test_endless_nesting_is_refused(tmp_path):
    path = tmp_path / "deep.kml"
    path.write_text(kml(("a", "<Folder>" * 50_000 + "</Folder>" * 50_000)))
    with pytest.raises(MarkError, match="endless nesting"):
        read_boundary(path)
    path = tmp_path / "deep.json"
    path.write_text('{"type":' + "[" * 100_000)
    with pytest.raises(MarkError, match="damaged"):
        read_boundary(path)


def test_an_archive_that_unpacks_to_gigabytes_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(safe_copies, "MOST_UNPACKED", 1_000_000)
    path = zipped(tmp_path / "bomb.zip", {"parcel.shp": bytes(1_500_000)})
    assert path.stat().st_size < 10_000
    with pytest.raises(MarkError, match=r"bomb\.zip: The archive unpacks to more than 1 MB"):
        read_boundary(path)


def test_an_archive_that_lies_about_its_sizes_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(safe_copies, "MOST_UNPACKED", 1_000_000)
    content = bytearray(zipped(tmp_path / "b.zip", {"parcel.shp": bytes(1_500_000)}).read_bytes())
    true_size = struct.pack("<I", 1_500_000)
    assert content.count(true_size) == 2
    (tmp_path / "b.zip").write_bytes(content.replace(true_size, struct.pack("<I", 1000)))
    with pytest.raises(MarkError, match=r"b\.zip"):
        read_boundary(tmp_path / "b.zip")


def test_an_archive_that_states_gigabytes_is_refused_before_it_is_unpacked(tmp_path):
    content = bytearray(zipped(tmp_path / "g.zip", {"parcel.shp": bytes(1_500_000)}).read_bytes())
    three_gigabytes = struct.pack("<I", 3_000_000_000)
    (tmp_path / "g.zip").write_bytes(content.replace(struct.pack("<I", 1_500_000), three_gigabytes))
    with pytest.raises(MarkError, match=r"g\.zip: The archive unpacks to more than 500 MB"):
        read_boundary(tmp_path / "g.zip")


def test_an_archive_of_very_many_files_is_refused(tmp_path):
    path = zipped(tmp_path / "many.zip", {f"{n}.txt": b"" for n in range(5001)})
    with pytest.raises(MarkError, match="or 5,000 files"):
        read_boundary(path)


@pytest.mark.parametrize(
    "inner", ["../../parcel.shp", "/tmp/parcel.shp", "a\\..\\..\\p.shp", "C:/p.shp"]
)
def test_an_archive_that_reaches_out_of_its_folder_is_refused(tmp_path, inner):
    path = zipped(tmp_path / "slip.zip", {inner: b"x"})
    with pytest.raises(MarkError, match=r"slip\.zip: The archive reaches out of its folder"):
        read_boundary(path)
    assert [one.name for one in tmp_path.iterdir()] == ["slip.zip"]


def test_a_link_in_an_archive_is_refused(tmp_path):
    info = zipfile.ZipInfo("parcel.shp")
    info.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "link.zip", "w") as archive:
        archive.writestr(info, "/etc/passwd")
    with pytest.raises(MarkError, match="reaches out of its folder"):
        read_boundary(tmp_path / "link.zip")


def damaged(folder: Path, kind: str) -> Path:
    """Write a file that is damaged in one way."""
    path = folder / f"{kind}.bin"
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("land.kml", kml(("a", placemark(SQUARE))))
    frame(SQUARE).to_file(folder / "whole.gpkg")
    whole = (folder / "whole.gpkg").read_bytes()
    contents = {
        "empty": b"",
        "text": b"These are the corners of my land: ...",
        "picture": b"\x89PNG\r\n\x1a\n" + bytes(50),
        "half-gpkg": whole[: len(whole) // 3],
        "half-json": b'{"type": "Polygon", "coordinates": [[[1, 2], [',
        "other-json": b'{"name": "settings"}',
        "half-kml": kml(("a", placemark(SQUARE))).encode()[:300],
        "html": b"<html><body>Not found</body></html>",
        "half-zip": buffer.getvalue()[:-30],
        "no-outline.zip": b"PK\x05\x06" + bytes(18),
        "empty-kml": kml(("a", "")).encode(),
        "no-shapes": b'{"type": "FeatureCollection", "features": []}',
        "half-shp": shapefile(folder / "s", frame(SQUARE))[".shp"][:60],
    }
    if kind != "missing":
        path.write_bytes(contents[kind])
    return path


@pytest.mark.parametrize(
    "kind",
    [
        *("missing", "empty", "text", "picture", "half-gpkg", "half-json", "other-json"),
        *("half-kml", "html", "half-zip", "no-outline.zip", "empty-kml", "no-shapes", "half-shp"),
    ],
)
def test_a_damaged_file_is_said_with_its_name_and_a_way_out(tmp_path, kind):
    path = damaged(tmp_path, kind)
    for reader in (read_boundary, lambda one: read_marks(one, epsg=UTM, kind="bed")):
        with pytest.raises(MarkError) as caught:
            reader(path)
        assert path.name in str(caught.value)
        assert caught.value.remedy


@pytest.mark.parametrize("form", WRITERS)
def test_changed_bytes_give_an_outline_or_a_told_error(tmp_path, form):
    path = boundary_file(tmp_path, form)
    whole = path.read_bytes()
    for seed in range(6):
        draw = random.Random(seed)
        content = bytearray(whole)
        for _ in range(draw.choice([1, 5, 30])):
            end = min(draw.choice([60, 400, len(content)]), len(content))
            content[draw.randrange(end)] = draw.randrange(256)
        path.write_bytes(content)
        with contextlib.suppress(MarkError):
            assert read_boundary(path).outline.is_valid
        with contextlib.suppress(MarkError):
            assert read_marks(path, epsg=UTM, kind="bed")[0]


def test_an_archive_with_a_password_is_said(tmp_path):
    # Bit 0 of the flags says encrypted (PKWARE APPNOTE.TXT 6.3.10, section 4.4.4).
    content = bytearray(zipped(tmp_path / "p.zip", {"land.kml": "<kml/>"}).read_bytes())
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        content[content.index(signature) + offset] |= 1
    (tmp_path / "p.zip").write_bytes(content)
    with pytest.raises(MarkError, match="password"):
        read_boundary(tmp_path / "p.zip")


# Marks --------------------------------------------------------------------------------------

BED = shapely.box(X_0 + 50, Y_0 + 50, X_0 + 120, Y_0 + 100)
FENCE = shapely.LineString([(X_0, Y_0 + 250), (X_0 + 400, Y_0 + 250)])
GATE = shapely.Point(X_0 + 200, Y_0 + 250)


def by_kind(marks) -> dict[str, list]:
    """Marks by the word of their kind."""
    found: dict[str, list] = {}
    for one in marks:
        found.setdefault(one.kind.value, []).append(one)
    return found


def test_a_column_says_what_a_row_is_and_the_rest_what_it_is_like(tmp_path):
    rows = frame(
        BED,
        shapely.box(X_0 + 300, Y_0 + 300, X_0 + 390, Y_0 + 390),
        shapely.box(X_0 + 130, Y_0 + 300, X_0 + 190, Y_0 + 390),
        Kind=["bed", "Food", "cover"],
        name=["Alder knob", "Bean field", None],
        who=["Buck", None, None],
        crop=[None, "soybeans", None],
        weight=[2.0, None, None],
        weight_pre_rut=[None, 0.5, None],
        weight_late=[None, "1.5", None],
        class_=[None, None, 41],
        note=["thick", "", None],
    ).rename(columns={"class_": "class"})
    rows.to_file(tmp_path / "marks.gpkg")
    bed, food, cover = read_marks(tmp_path / "marks.gpkg", epsg=UTM)[0]
    assert (bed.kind, bed.name, bed.who, bed.weight) == (MarkKind.BED, "Alder knob", "buck", 2.0)
    assert bed.note == "thick"
    assert (food.crop, food.weight) == ("soybeans", 1.0)
    assert food.phase_weights == {"pre-rut": 0.5, "late": 1.5}
    assert (cover.kind, cover.cover_class, cover.name) == (MarkKind.COVER, 41, "")
    assert same(bed.geometry, BED)


def test_folders_say_what_their_marks_are(tmp_path):
    path = tmp_path / "map.kml"
    pond = shapely.box(X_0 + 10, Y_0 + 400, X_0 + 40, Y_0 + 440)
    path.write_text(
        kml(
            ("Boundary", placemark(SQUARE)),
            ("Doe beds", placemark(BED, "Alder knob")),
            ("fences", placemark(FENCE) + placemark(FENCE)),
            ("Fence gaps", placemark(GATE)),
            ("Ponds", placemark(pond)),
            ("Keep off", placemark(pond)),
            ("Ways in", placemark(GATE, "Gate")),
            ("empty", ""),
        )
    )
    marks, notes = read_marks(path, epsg=UTM)
    found = by_kind(marks)
    assert {kind: len(ones) for kind, ones in found.items()} == {
        "bed": 1, "fence": 2, "gap": 1, "water": 1, "keep-off": 1, "way-in": 1,
    }  # fmt: skip
    assert found["bed"][0].who == "doe"
    assert found["bed"][0].name == "Alder knob"
    assert not found["fence"][0].geometry.has_z
    assert any("it is the boundary" in note for note in notes)


def test_layers_of_a_package_say_what_their_marks_are(tmp_path):
    path = tmp_path / "everything.gpkg"
    frame(BED).to_file(path, layer="beds")
    frame(FENCE, height_m=[2.1]).to_file(path, layer="fence")
    marks = by_kind(read_marks(path, epsg=UTM)[0])
    assert marks["fence"][0].height_m == 2.1
    assert len(marks["bed"]) == 1


def test_the_name_of_the_file_or_the_option_says_it(tmp_path):
    frame(BED).to_file(tmp_path / "beds.geojson")
    frame(BED).to_file(tmp_path / "drawn.shp")
    assert read_marks(tmp_path / "beds.geojson", epsg=UTM)[0][0].kind is MarkKind.BED
    assert read_marks(tmp_path / "drawn.shp", epsg=UTM, kind="food")[0][0].kind is MarkKind.FOOD
    with pytest.raises(MarkError, match=r"drawn, row 1: It does not say what it is.*The kinds are"):
        read_marks(tmp_path / "drawn.shp", epsg=UTM)
    with pytest.raises(MarkError, match=r"'blind' is no kind of mark.*tracks, trail"):
        read_marks(tmp_path / "drawn.shp", epsg=UTM, kind="blind")


def test_an_unknown_kind_in_the_column_is_an_error_that_lists_the_kinds(tmp_path):
    frame(BED, kind=["blind"], name=["Old oak"]).to_file(tmp_path / "m.gpkg")
    with pytest.raises(MarkError, match=r"m\.gpkg, m, Old oak: 'blind' .*bed, food, core"):
        read_marks(tmp_path / "m.gpkg", epsg=UTM, kind="bed")


def test_waypoints_tracks_and_routes_of_a_gps(tmp_path):
    path = tmp_path / "gps.gpx"
    path.write_text(
        gpx(
            waypoints=(("Scrape 3", "", GATE), ("By the oak", "rub", GATE)),
            tracks=(("North", "Fence", FENCE), ("Knob", "bed", BED.exterior)),
            routes=(("trail west", "", FENCE),),
        )
    )
    marks = by_kind(read_marks(path, epsg=UTM)[0])
    assert set(marks) == {"scrape", "rub", "fence", "bed", "trail"}
    assert marks["scrape"][0].name == "Scrape 3"
    assert same(marks["bed"][0].geometry, BED)
    assert marks["fence"][0].geometry.length == pytest.approx(400.0, abs=0.1)


def test_the_layer_called_tracks_in_a_gps_file_does_not_mean_deer_tracks(tmp_path):
    path = tmp_path / "day.gpx"
    path.write_text(gpx(tracks=(("10 Nov", "", FENCE),)))
    with pytest.raises(MarkError, match="does not say what it is"):
        read_marks(path, epsg=UTM)
    assert read_marks(path, epsg=UTM, kind="creek")[0][0].kind is MarkKind.CREEK


def test_a_closed_line_becomes_an_area_and_an_open_one_does_not(tmp_path):
    frame(shapely.LineString(BED.exterior)).to_file(tmp_path / "bed.gpkg")
    assert same(read_marks(tmp_path / "bed.gpkg", epsg=UTM)[0][0].geometry, BED)
    frame(FENCE).to_file(tmp_path / "food.gpkg")
    with pytest.raises(MarkError, match="open line: its ends are 437 yards apart"):
        read_marks(tmp_path / "food.gpkg", epsg=UTM)


def test_an_area_drawn_for_a_fence_gives_its_edge_with_a_note(tmp_path):
    frame(BED).to_file(tmp_path / "fence.gpkg")
    marks, notes = read_marks(tmp_path / "fence.gpkg", epsg=UTM)
    assert marks[0].geometry.length == pytest.approx(BED.length)
    assert any("the edge of the area was taken" in note for note in notes)


@pytest.mark.parametrize(
    ("kind", "shape", "word"),
    [
        ("fence", GATE, "It is a Point"),
        ("bed", GATE, "It is a Point"),
        ("rub", FENCE, "It is a LineString"),
        ("way-in", BED, "It is a Polygon"),
        ("gap", shapely.GeometryCollection([GATE, FENCE]), "It mixes points, lines and areas"),
    ],
)
def test_a_shape_that_does_not_fit_is_an_error_with_the_row(tmp_path, kind, shape, word):
    frame(shape, name=["Oak"]).to_file(tmp_path / "m.gpkg")
    with pytest.raises(MarkError, match=rf"m\.gpkg, m, Oak: {word}"):
        read_marks(tmp_path / "m.gpkg", epsg=UTM, kind=kind)


@pytest.mark.parametrize(
    ("kind", "shape"),
    [
        ("bed", shapely.MultiPolygon([BED, shapely.box(X_0, Y_0, X_0 + 9, Y_0 + 9)])),
        ("creek", shapely.MultiLineString([FENCE, shapely.affinity.translate(FENCE, 0, 50)])),
        ("crossing", shapely.MultiPoint([GATE, shapely.affinity.translate(GATE, 0, 50)])),
        ("house", shapely.MultiPolygon([BED])),
    ],
)
def test_shapes_of_several_parts_stay_whole(tmp_path, kind, shape):
    frame(shape).to_file(tmp_path / "m.gpkg")
    mark = read_marks(tmp_path / "m.gpkg", epsg=UTM, kind=kind)[0][0]
    assert mark.kind.value == kind
    assert shapely.equals(shapely.normalize(mark.geometry), shapely.normalize(shape))


def test_a_mark_that_crosses_itself_says_where(tmp_path):
    bow = shapely.Polygon([(X_0, Y_0), (X_0 + 40, Y_0 + 50), (X_0 + 40, Y_0), (X_0, Y_0 + 50)])
    middle = degrees(shapely.Point(X_0 + 20, Y_0 + 25))
    frame(bow).to_file(tmp_path / "bed.gpkg")
    with pytest.raises(MarkError, match=f"bed, row 1: .*{middle.y:.5f} N, {-middle.x:.5f} W"):
        read_marks(tmp_path / "bed.gpkg", epsg=UTM)


@pytest.mark.parametrize(
    ("column", "value", "word"),
    [
        ("weight", "lots", "no number above 0"),
        ("weight", -1.0, "no number above 0"),
        ("height_m", "2 yd", "no number above 0"),
        ("width_m", 0.0, "no number above 0"),
        ("who", "fawn", "Say buck, doe or either"),
        ("class", "woods", "no class code"),
        ("class", 700, "no class code"),
        ("weight_winter", 1.0, "names no phase"),
        ("weight_la", 1.0, "names no phase"),
        ("phase_weights", "half", "no list of weights"),
    ],
)
def test_a_wrong_value_names_row_and_column(tmp_path, column, value, word):
    frame(BED, **{column: [value], "name": ["Knob"]}).to_file(tmp_path / "bed.gpkg")
    with pytest.raises(MarkError, match=rf"bed\.gpkg, bed, Knob: .*{column}.*{word}"):
        read_marks(tmp_path / "bed.gpkg", epsg=UTM)


def test_column_names_that_a_shapefile_cut_are_understood(tmp_path):
    columns = {"weight_pre": [0.5], "weight_see": [2.0], "weight_lat": [None]}
    shapefile(tmp_path, frame(BED, kind=["food"], **columns), "m")
    mark = read_marks(tmp_path / "m.shp", epsg=UTM)[0][0]
    assert mark.phase_weights == {"pre-rut": 0.5, "seeking": 2.0}


def test_marks_on_the_other_side_of_the_world_are_named_and_left_out(tmp_path):
    near, far = degrees(GATE), shapely.Point(99.0, -45.0)
    frame(near, far, crs=4326, name=["here", "there"]).to_file(tmp_path / "rubs.gpkg")
    marks, notes = read_marks(tmp_path / "rubs.gpkg", epsg=UTM)
    assert [mark.name for mark in marks] == ["here"]
    assert any("there: it lies too far away" in note for note in notes)


def test_marks_in_another_map_system_land_where_they_belong(tmp_path):
    frame(FENCE).to_crs(3735).to_file(tmp_path / "fence.gpkg")
    mark = read_marks(tmp_path / "fence.gpkg", epsg=UTM)[0][0]
    # NAD 83 and WGS 84 count as one here.
    assert mark.geometry.hausdorff_distance(FENCE) < 0.01


def test_messy_marks_reach_the_ground_named(tmp_path):
    """Off the extent: left out; overlapping and in each other: kept; on water: an error."""
    pond = polygon((500, 100), (650, 100), (650, 250), (500, 250))
    shapes = {
        "North bed": ("bed", disc(200, 300)),
        "South bed": ("bed", disc(230, 320)),
        "Bed in the beans": ("bed", disc(600, 450, 15)),
        "Beans": ("food", disc(600, 450, 60)),
        "Far bed": ("bed", disc(9000, 300)),
        "Pond": ("water", pond),
        "Far pond": ("water", disc(-9000, 300)),
    }
    rows = frame(
        *(shape for _, shape in shapes.values()),
        name=list(shapes),
        kind=[kind for kind, _ in shapes.values()],
    )
    rows.to_crs(4326).to_file(tmp_path / "marks.gpkg")
    marks, _ = read_marks(tmp_path / "marks.gpkg", epsg=EPSG)
    place, grids = scene()
    ground = ground_of(with_marks(place, *marks), grids)
    assert [bed.label for bed in ground.beds] == ["North bed", "South bed", "Bed in the beans"]
    assert len(ground.foods[0].cells) > len(ground.beds[2].cells)
    for name in ("Far bed", "Far pond"):
        assert f"{name} lies outside the modelled ground and is left out." in ground.notes
    frame(polygon((540, 140), (600, 140), (600, 200)), name=["Wet"]).to_file(tmp_path / "bed.gpkg")
    wet, _ = read_marks(tmp_path / "bed.gpkg", epsg=EPSG)
    with pytest.raises(MarkError, match="bed Wet: It lies wholly on water"):
        ground_of(with_marks(place, *marks, *wet), grids)


def test_a_property_file_gives_its_boundary_and_its_marks(tmp_path):
    place, _ = scene(
        marks=[
            mark(MarkKind.BED, disc(200, 300), "Knob", who="doe", weight=2.0, note="thick"),
            mark(MarkKind.FOOD, disc(600, 300), "Corn", phase_weights={"pre-rut": 0.5}),
            mark(MarkKind.FENCE, line((0, 0), (800, 0)), "Line fence", height_m=2.0),
            mark(MarkKind.COVER, disc(400, 400), "Cut", cover_class=82),
        ]
    )
    create(tmp_path / "scene.gpkg", place)
    boundary = read_boundary(tmp_path / "scene.gpkg")
    assert boundary.outline.hausdorff_distance(place.boundary) < 1e-6
    marks, _ = read_marks(tmp_path / "scene.gpkg", epsg=EPSG)
    by_name = {one.name: one for one in marks}
    assert len(by_name) == len(place.marks)
    for own in place.marks:
        read = by_name[own.name]
        assert (read.kind, read.name, read.note, read.who) == (
            own.kind,
            own.name,
            own.note,
            own.who,
        )
        assert (read.weight, read.phase_weights) == (own.weight, own.phase_weights)
        assert (read.height_m, read.cover_class) == (own.height_m, own.cover_class)


def test_text_that_is_not_plain_letters_survives(tmp_path):
    frame(BED, name=["Łęg — 鹿 “knob”"]).to_file(tmp_path / "bed.geojson")
    assert read_marks(tmp_path / "bed.geojson", epsg=UTM)[0][0].name == "Łęg — 鹿 “knob”"
