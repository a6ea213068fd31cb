"""Geometry blobs against the vector library's own reading and writing of the standard."""

import sqlite3
import struct

import geopandas
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.files.property_file.geometry import from_blob, to_blob

SHAPES = [
    shapely.Point(1.5, -2),
    shapely.MultiPoint([(0, 0), (1, 2)]),
    shapely.LineString([(0, 0), (1, 2), (3, 4)]),
    shapely.box(0, 0, 2, 1).difference(shapely.box(0.5, 0.2, 1, 0.8)),
    shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(2, 2, 3, 3)]),
    shapely.MultiLineString([[(0, 0), (1, 1)], [(2, 2), (3, 1)]]),
]
numbers = st.floats(allow_nan=False, allow_infinity=False, width=64)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.geom_type)
def test_a_blob_of_the_vector_library_is_read(tmp_path, shape):
    path = tmp_path / "theirs.gpkg"
    geopandas.GeoDataFrame(geometry=[shape], crs="EPSG:32617").to_file(path, layer="one")
    with sqlite3.connect(path) as db:
        blob = db.execute("SELECT geom FROM one").fetchone()[0]
    db.close()
    assert shapely.normalize(from_blob(blob)) == shapely.normalize(shape)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.geom_type)
def test_a_blob_comes_back_equal(shape):
    assert from_blob(to_blob(shape, 32617)) == shape


@given(st.lists(st.tuples(numbers, numbers), min_size=2, max_size=20))
def test_every_bit_of_a_coordinate_is_kept(corners):
    line = shapely.LineString(corners)
    assert from_blob(to_blob(line, 4326)).wkb == line.wkb


def test_the_head_is_that_of_the_standard():
    """OGC 12-128r18, table 6: magic, version 0, flags, srs id, envelope as minx maxx miny maxy."""
    blob = to_blob(shapely.box(1, 2, 3, 5), 32617)
    assert blob[:4] == b"GP\x00\x03"
    assert struct.unpack("<i4d", blob[4:40]) == (32617, 1.0, 3.0, 2.0, 5.0)


def test_heights_are_left_out():
    assert from_blob(to_blob(shapely.Point(1, 2, 3), 4326)) == shapely.Point(1, 2)


@pytest.mark.parametrize("blob", [b"", b"GP", b"XX\x00\x01" + bytes(30), b"GP\x00\x01" + bytes(8)])
def test_what_is_no_blob_is_refused(blob):
    with pytest.raises(ValueError, match=r"not a GeoPackage|cannot be read"):
        from_blob(blob)
