"""Points as a GeoPackage."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace

import geopandas
import pytest

from funnelfinder.files.gpkg_points import gpkg_owner, gpkg_rows, write_gpkg
from tests.files import points_content


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    made = tmp_path_factory.mktemp("gpkg") / "points.gpkg"
    write_gpkg(made, points_content.content())
    return made


def test_it_is_a_geopackage(path):
    """OGC 12-128r18: application_id "GPKG", user_version 10400, rows for -1, 0 and 4326."""
    with closing(sqlite3.connect(path)) as base:
        assert base.execute("PRAGMA application_id").fetchone() == (0x47504B47,)
        assert base.execute("PRAGMA user_version").fetchone()[0] in (10200, 10300, 10400)
        known = {row[0] for row in base.execute("SELECT srs_id FROM gpkg_spatial_ref_sys")}
        layers = dict(base.execute("SELECT table_name, srs_id FROM gpkg_contents"))
    assert {-1, 0, 4326} <= known
    assert layers == {"points": 4326, "boundary": 4326}


def test_another_reader_finds_the_same_points(path):
    """GDAL's reader, through geopandas."""
    table = geopandas.read_file(path, layer="points")
    rows = points_content.rows()
    found = list(zip(table["name"], table.geometry.x, table.geometry.y, strict=True))
    assert found == [(row["name"], row["lon"], row["lat"]) for row in rows]
    assert table["steadiness"].isna().sum() == sum(row["steadiness"] is None for row in rows)


def test_the_boundary_keeps_its_hole(path):
    (shape,) = geopandas.read_file(path, layer="boundary").geometry
    assert sorted(len(part.interiors) for part in shape.geoms) == [0, 1]


def test_it_reads_back_equal(path):
    assert gpkg_rows(path) == points_content.rows()


def test_no_points_make_a_file_that_opens(tmp_path):
    path = tmp_path / "none.gpkg"
    write_gpkg(path, replace(points_content.content(), points=()))
    assert gpkg_rows(path) == []
    assert geopandas.read_file(path, layer="points").empty


def test_whose_it_is(path, tmp_path):
    assert gpkg_owner(path) == 'Brome & "Höllow" <north>'
    other = tmp_path / "other.gpkg"
    geopandas.read_file(path, layer="points").to_file(other, layer="points")
    assert gpkg_owner(other) is None
    text = tmp_path / "text.gpkg"
    text.write_text("no database at all, but long enough to look at")
    assert gpkg_owner(text) is None
    with pytest.raises(ValueError, match="database"):
        gpkg_rows(text)
