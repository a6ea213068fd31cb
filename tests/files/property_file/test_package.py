"""The file is what the standard says, by other readers of it and by its own rules.

Where a rule is named, it is of OGC 12-128r18 (GeoPackage 1.3.1) or 17-066r1 (gridded coverages).
"""

import re
import sqlite3
from contextlib import closing

import numpy as np
import pyogrio
import pytest
import rasterio
from rasterio.errors import NotGeoreferencedWarning

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file import create, save_findings, save_grids, save_place
from funnelfinder.files.property_file.package import enter_srs
from tests import scenes
from tests.files.property_file.made_up import findings_on

PLACE, GRIDS = scenes.scene(marks=scenes.pair_marks())
POINT_LAYERS = {"picks", "stands", "pinch_points", "staging_spots", "left_out", "cluster_cameras"}


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    file = tmp_path_factory.mktemp("whole") / "hollow.gpkg"
    create(file, PLACE)
    save_grids(file, GRIDS)
    save_findings(file, findings_on(GRIDS.cover.grid))
    save_place(file, PLACE)
    return file


@pytest.fixture
def db(path):
    with closing(sqlite3.connect(path)) as base:
        yield base


def test_layers_are_listed_with_their_geometry(path):
    layers = dict(pyogrio.list_layers(path))
    assert layers["boundary"] == "MultiPolygon"
    assert layers["mark_areas"] == "MultiPolygon"
    assert layers["mark_lines"] == "MultiLineString"
    assert layers["mark_points"] == "MultiPoint"
    assert layers["routes"] == layers["drawn_trips"] == "LineString"
    assert {layers[name] for name in POINT_LAYERS} == {"Point"}
    assert layers["settings"] is None


def test_every_layer_is_read_by_another_program(path):
    for name, geometry in pyogrio.list_layers(path):
        frame = pyogrio.read_dataframe(path, layer=name)
        if geometry is not None:
            assert frame.crs.to_epsg() == PLACE.epsg
    marks = pyogrio.read_dataframe(path, layer="mark_areas")
    assert marks["kind"].tolist() == ["bed", "food"]
    assert marks.geometry.area.tolist() == [mark.geometry.area for mark in PLACE.marks]


def test_coverages_are_read_by_another_program(path):
    with pytest.warns(NotGeoreferencedWarning), rasterio.open(path) as whole:
        names = {one.rsplit(":", 1)[1] for one in whole.subdatasets}
    assert names == {"elevation", "land_cover", "passage"}
    for name, raster in (("elevation", GRIDS.elevation), ("land_cover", GRIDS.cover)):
        with rasterio.open(f"GPKG:{path}:{name}") as tiles:
            assert tiles.crs.to_epsg() == PLACE.epsg
            assert tiles.transform == raster.grid.transform
            assert np.array_equal(tiles.read(1), raster.values)


def test_the_database_is_sound(db):
    assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert db.execute("PRAGMA foreign_key_check").fetchall() == []


def test_the_head_says_geopackage(db):
    """Requirement 2: application_id "GPKG", user_version of the standard's version."""
    assert db.execute("PRAGMA application_id").fetchone() == (0x47504B47,)
    assert db.execute("PRAGMA user_version").fetchone()[0] in (10200, 10300, 10400)


def test_the_reference_systems_of_the_standard_are_there(db):
    """Requirement 11, and that of the property."""
    known = dict(
        db.execute("SELECT srs_id, organization_coordsys_id FROM gpkg_spatial_ref_sys").fetchall()
    )
    assert {-1: -1, 0: 0, 4326: 4326, PLACE.epsg: PLACE.epsg}.items() <= known.items()


def test_every_table_is_entered(db):
    """Requirements 13 to 16; SQLite's own table and the standard's are the only others."""
    entered = {row[0] for row in db.execute("SELECT table_name FROM gpkg_contents")}
    there = {row[0] for row in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert {name for name in there - entered if not name.startswith(("gpkg_", "sqlite_"))} == set()
    assert entered <= there


def test_names_are_those_that_every_program_takes(db):
    """Recommended by the standard: lower case, letters, digits and underscores."""
    for (name,) in db.execute("SELECT table_name FROM gpkg_contents"):
        columns = [row[1] for row in db.execute(f"PRAGMA table_info({name})")]
        assert all(re.fullmatch("[a-z][a-z0-9_]*", word) for word in [name, *columns])


def test_column_types_are_those_of_the_standard(db):
    """Requirement 5, table 1."""
    fitting = "BOOLEAN|TINYINT|SMALLINT|MEDIUMINT|INT|INTEGER|FLOAT|DOUBLE|REAL|TEXT|BLOB|DATE.*"
    geometry = "GEOMETRY|POINT|LINESTRING|POLYGON|MULTI(POINT|LINESTRING|POLYGON)"
    for (name,) in db.execute("SELECT table_name FROM gpkg_contents"):
        for row in db.execute(f"PRAGMA table_info({name})"):
            assert re.fullmatch(f"{fitting}|{geometry}", row[2]), (name, row)


def test_times_are_utc_in_iso_8601(db):
    """Requirement 15."""
    for (text,) in db.execute("SELECT last_change FROM gpkg_contents"):
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", text)


def test_mark_layers_have_no_triggers(db):
    """Plain SQLite could not run them: any editing would fail."""
    triggers = db.execute("SELECT tbl_name FROM sqlite_master WHERE type = 'trigger'").fetchall()
    assert not {row[0] for row in triggers} & {"boundary", "mark_areas", "mark_lines", "picks"}


def test_an_unknown_reference_system_is_refused(db):
    with pytest.raises(PropertyFileError, match="EPSG:1"):
        enter_srs(db, 1)
