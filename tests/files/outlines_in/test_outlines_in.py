"""Boundaries from any vector file."""

from __future__ import annotations

import json
import tempfile

import numpy as np
import pytest
import shapely
from pyproj import Transformer

from funnelfinder.defaults import Settings, with_setting
from funnelfinder.errors import GridError, MarkError
from funnelfinder.files.map_systems import true_area_m2
from funnelfinder.files.outlines_in import read_boundary
from funnelfinder.ground import travel_cell_m
from funnelfinder.marks import Property
from funnelfinder.units import ACRE_M2
from tests.files.outlines_in.drawn import (
    REAL,
    SQUARE,
    UTM,
    WRITERS,
    X_0,
    Y_0,
    boundary_file,
    degrees,
    frame,
    gpx,
    kml,
    needs_real,
    placemark,
    same,
    shapefile,
    zipped,
)


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
