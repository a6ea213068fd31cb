"""Suggestions as a file: read back as the marks that they would be."""

from __future__ import annotations

import itertools
import json

import pytest

from funnelfinder.errors import ExportError
from funnelfinder.files.outlines_in import read_marks
from funnelfinder.files.suggestions_out import write_suggestions
from funnelfinder.suggestions import suggestions
from tests import scenes
from tests.suggestions.test_beds import hill
from tests.suggestions.test_suggestions import mixed


@pytest.fixture(scope="module")
def found():
    """Suggestions of a wooded hill with a field."""
    return suggestions(*scenes.scene(height=hill, cover=mixed))


def test_they_read_back_as_marks(tmp_path, found):
    path = tmp_path / "likely.geojson"
    write_suggestions(path, found, epsg=scenes.EPSG)
    marks, notes = read_marks(path, epsg=scenes.EPSG)
    assert notes == ()
    assert [(one.kind, one.name, one.crop, one.note) for one in marks] == [
        (one.kind, one.name, one.crop, one.why) for one in found
    ]
    for mark, one in zip(marks, found, strict=True):
        # 7 decimals of degrees are about 1 cm.
        assert mark.geometry.hausdorff_distance(one.geometry) < 0.03


def test_it_is_plain_geojson_in_degrees(tmp_path, found):
    # RFC 7946: longitude, latitude of WGS 84, rings closed, outer ones counter-clockwise.
    path = tmp_path / "likely.geojson"
    write_suggestions(path, found, epsg=scenes.EPSG)
    features = json.loads(path.read_text(encoding="utf-8"))["features"]
    for one in features:
        ring = one["geometry"]["coordinates"][0]
        assert ring[0] == ring[-1]
        assert all(-84 < lon < -80 and 38 < lat < 40 for lon, lat in ring)
        twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in itertools.pairwise(ring))
        assert twice > 0


def test_a_folder_that_is_not_there_is_told(tmp_path, found):
    path = tmp_path / "nowhere" / "likely.geojson"
    with pytest.raises(ExportError, match="could not be written"):
        write_suggestions(path, found, epsg=scenes.EPSG)
    assert list(tmp_path.iterdir()) == []
