"""Ways in as GPX tracks."""

from __future__ import annotations

from pathlib import Path

import gpxpy
import numpy as np
import pytest

from funnelfinder.daylight import Half
from funnelfinder.declination import lon_lat_deg
from funnelfinder.errors import ExportError
from funnelfinder.files.gpx_ways import write_ways
from funnelfinder.stands import Moment, both_ways
from tests import scenes
from tests.stands import ready

SCHEMA = Path(__file__).parents[2].parent / "shared/schemas/gpx.xsd"


def written(path):
    _, _, base = ready.found()
    moment = Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0)
    stands = ready.stands()
    ways = dict(zip(("IN", "OUT"), both_ways(base, stands, moment), strict=True))
    return stands, ways, write_ways(path, stands, ways, epsg=scenes.EPSG, name="Scene")


def test_tracks_read_back_where_they_were(tmp_path):
    path = tmp_path / "ways.gpx"
    stands, ways, count = written(path)
    read = gpxpy.parse(path.read_text())
    assert count == len(read.tracks) == sum(map(len, ways.values()))
    assert [one.name for one in read.waypoints] == [one.name for one in stands]
    assert all("harness" in one.description for one in read.waypoints)
    assert all("In range: " in one.description for one in read.waypoints)
    for track in read.tracks:
        what, name = track.name.split("-")
        lon_lat = lon_lat_deg(ways[what][name].points_m, scenes.EPSG)
        points = [(one.longitude, one.latitude) for one in track.segments[0].points]
        # Out is walked the other way round.
        assert np.array(points[:: -1 if what == "OUT" else 1]) == pytest.approx(lon_lat, abs=1e-7)
        assert "harness" in track.description


def test_it_is_valid_gpx(tmp_path):
    xmlschema = pytest.importorskip("xmlschema")
    found = sorted((SCHEMA.parent).glob("*gpx*.xsd")) if SCHEMA.parent.exists() else []
    if not found:
        pytest.skip("the folder shared with the schemas is not beside the repository")
    path = tmp_path / "ways.gpx"
    written(path)
    xmlschema.XMLSchema(str(found[0])).validate(str(path))


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(ExportError, match="could not be written"):
        written(tmp_path / "none" / "ways.gpx")
