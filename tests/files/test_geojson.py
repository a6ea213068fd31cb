"""GeoJSON by RFC 7946."""

from __future__ import annotations

import json

import geopandas
import pytest

from funnelfinder.files.geojson import geojson_bytes, geojson_owner, geojson_rows
from tests.files import points_content


@pytest.fixture(scope="module")
def data() -> bytes:
    return geojson_bytes(points_content.content())


def test_it_holds_points_longitude_first_without_crs(data):
    """RFC 7946: section 3.1.1 longitude first, section 4 no crs, section 3.2 feature members."""
    document = json.loads(data)
    assert document["type"] == "FeatureCollection"
    assert "crs" not in document
    for feature in document["features"]:
        assert feature["type"] == "Feature"
        assert feature["geometry"]["type"] == "Point"
        lon, lat = feature["geometry"]["coordinates"]
        assert lon < 0 < lat
        assert set(feature) == {"type", "id", "geometry", "properties"}


def test_what_is_not_known_is_null_and_never_nan(data):
    """RFC 8259 has no NaN."""
    assert b"NaN" not in data
    features = json.loads(data)["features"]
    untested = [one for one in features if one["id"] == "C2A-EDGE"]
    assert untested[0]["properties"]["steadiness"] is None


def test_another_reader_finds_the_same_points(data, tmp_path):
    path = tmp_path / "points.geojson"
    path.write_bytes(data)
    table = geopandas.read_file(path)
    assert table.crs.to_epsg() == 4326
    assert list(table["name"]) == [row["name"] for row in points_content.rows()]
    assert list(table.geometry.y) == [row["lat"] for row in points_content.rows()]


def test_it_reads_back_equal(data):
    assert geojson_rows(data) == points_content.rows()


def test_whose_it_is(data):
    assert geojson_owner(data) == 'Brome & "Höllow" <north>'
    assert geojson_owner(b'{"type": "FeatureCollection", "features": []}') is None
    assert geojson_owner(b"[]") is None


@pytest.mark.parametrize("broken", [b"{", b"{}", b'{"features": [{}]}', b'{"features": 3}'])
def test_a_broken_file_is_a_value_error(broken):
    with pytest.raises(ValueError, match=r"."):
        geojson_rows(broken)
