"""GPX 1.1: the schema, the structure that receivers rely on, and reading back."""

from __future__ import annotations

import gpxpy
import pytest
from lxml import etree

from funnelfinder.files.gpx import gpx_bytes, gpx_owner, gpx_rows
from tests.files import points_content

SPACE = {"g": "http://www.topografix.com/GPX/1/1"}


@pytest.fixture(scope="module")
def data() -> bytes:
    return gpx_bytes(points_content.content())


def test_it_passes_the_schema(data):
    """GPX 1.1 schema of TopoGrafix (http://www.topografix.com/GPX/1/1/gpx.xsd)."""
    schema = etree.XMLSchema(etree.parse(points_content.schema("gpx11.xsd")))
    schema.assertValid(etree.fromstring(data))


def test_children_stand_in_the_order_of_the_schema(data):
    """GPX 1.1: metadata, wpt, rte, trk; ele, name, cmt, desc, type, extensions."""
    root = etree.fromstring(data)
    order = list(dict.fromkeys(etree.QName(child).localname for child in root))
    assert order == ["metadata", "wpt", "trk"]
    for waypoint in root.iterfind("g:wpt", SPACE):
        names = [etree.QName(child).localname for child in waypoint]
        full = ["ele", "name", "cmt", "desc", "type", "extensions"]
        assert names == [name for name in full if name in names]
        assert names[-5:] == full[-5:]
    assert root.get("version") == "1.1"
    assert root.get("creator")


def test_no_symbol_is_named(data):
    """An unknown sym hides a point on some receivers (GPX 1.1 leaves the words open)."""
    assert b"<sym" not in data


def test_another_reader_finds_the_same_points(data):
    """gpxpy is an independent reader of GPX."""
    read = gpxpy.parse(data.decode("utf-8"))
    rows = points_content.rows()
    assert [(w.name, w.longitude, w.latitude) for w in read.waypoints] == [
        (row["name"], row["lon"], row["lat"]) for row in rows
    ]
    assert [w.elevation for w in read.waypoints] == [row["elevation_m"] for row in rows]
    assert [w.type for w in read.waypoints] == [row["kind"] for row in rows]
    assert all(len(w.comment) <= 50 for w in read.waypoints)


def test_the_boundary_is_one_track_with_closed_rings(data):
    read = gpxpy.parse(data.decode("utf-8"))
    (track,) = read.tracks
    assert len(track.segments) == 3  # two parts, one of them with a hole
    for segment in track.segments:
        first, last = segment.points[0], segment.points[-1]
        assert (first.longitude, first.latitude) == (last.longitude, last.latitude)


def test_it_reads_back_equal(data):
    assert gpx_rows(data) == points_content.rows()


def test_whose_it_is(data):
    assert gpx_owner(data) == 'Brome & "Höllow" <north>'
    other = data.replace(b'creator="funnelfinder', b'creator="pencil')
    assert gpx_owner(other) is None


def test_a_broken_file_is_a_value_error(data):
    with pytest.raises(ValueError, match="line"):
        gpx_rows(data[:200])


def test_an_entity_is_not_followed(tmp_path):
    """A document that points to a file must not bring its text in (OWASP, XML external entity)."""
    secret = tmp_path / "secret.txt"
    secret.write_text("secret")
    text = (
        f'<!DOCTYPE gpx [<!ENTITY s SYSTEM "{secret.as_uri()}">]>'
        '<gpx xmlns="http://www.topografix.com/GPX/1/1" creator="funnelfinder" version="1.1">'
        "<metadata><name>&s;</name></metadata></gpx>"
    )
    assert "secret" not in (gpx_owner(text.encode()) or "")
