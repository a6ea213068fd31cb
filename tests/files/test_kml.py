"""KML 2.2: the schema, the structure, and reading back."""

from __future__ import annotations

import re

import geopandas
import pytest
import shapely
from lxml import etree

from funnelfinder.files.kml import kml_bytes, kml_owner, kml_rows
from tests.files import points_content

SPACE = {"k": "http://www.opengis.net/kml/2.2"}


@pytest.fixture(scope="module")
def data() -> bytes:
    return kml_bytes(points_content.content())


def test_it_passes_the_schema(data):
    """KML 2.2 schema of the OGC (07-147r2)."""
    schema = etree.XMLSchema(etree.parse(points_content.schema("ogckml22.xsd")))
    schema.assertValid(etree.fromstring(data))


def test_coordinates_have_no_blank_inside(data):
    """OGC 07-147r2: lon,lat[,alt] without blanks, tuples apart by blanks."""
    for element in etree.fromstring(data).iter(f"{{{SPACE['k']}}}coordinates"):
        for corner in element.text.split():
            assert re.fullmatch(r"-?\d+\.\d+,-?\d+\.\d+", corner)


def test_rings_are_closed_outer_counter_clockwise_holes_clockwise(data):
    """OGC 07-147r2: outer rings counter-clockwise; shapely measures the sense."""
    root = etree.fromstring(data)
    senses = []
    for name in ("outerBoundaryIs", "innerBoundaryIs"):
        for ring in root.iterfind(f".//k:{name}/k:LinearRing/k:coordinates", SPACE):
            corners = [tuple(map(float, corner.split(","))) for corner in ring.text.split()]
            assert corners[0] == corners[-1]
            senses.append((name, shapely.LinearRing(corners).is_ccw))
    assert sorted(set(senses)) == [("innerBoundaryIs", False), ("outerBoundaryIs", True)]


@pytest.mark.filterwarnings("ignore:More than one layer")
def test_another_reader_finds_the_same_points(data, tmp_path):
    """GDAL's reader of KML: the document's own placemarks are one layer, the folder another."""
    path = tmp_path / "points.kml"
    path.write_bytes(data)
    table = geopandas.read_file(path)
    rows = points_content.rows()
    found = list(zip(table["Name"], table.geometry.x, table.geometry.y, strict=True))
    assert found == [(row["name"], row["lon"], row["lat"]) for row in rows]
    (outline,) = geopandas.read_file(path, layer="boundary").geometry
    assert len(outline.geoms) == 2


def test_it_reads_back_equal(data):
    assert kml_rows(data) == points_content.rows()


def test_whose_it_is(data):
    assert kml_owner(data) == 'Brome & "Höllow" <north>'
    assert kml_owner(data.replace(b"<value>funnelfinder", b"<value>pencil")) is None
    assert kml_owner(b'<kml xmlns="http://www.opengis.net/kml/2.2"/>') is None
