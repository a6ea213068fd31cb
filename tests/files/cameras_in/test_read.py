"""Whatever tables a person gives: one, two in any order, or their folder; and only near cameras."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import numpy as np
import pytest

from funnelfinder.declination import lon_lat_deg
from funnelfinder.errors import RecordError
from funnelfinder.files.cameras_in import EXAMPLE, read_cameras
from tests import hand_made, scenes

ZONE = ZoneInfo("America/New_York")
PLACE = hand_made.place()


def exchange(folder, *, far: int = 0):
    """Two cameras on the property, ``far`` of them moved off it."""
    middle = PLACE.boundary.centroid
    lon, lat = lon_lat_deg(np.array([[middle.x, middle.y]]), scenes.EPSG)[0]
    rows = ["deploymentID,latitude,longitude,deploymentStart,deploymentEnd"]
    for number in range(2):
        at = lat - (number < far)
        rows.append(f"c{number},{at},{lon},2026-11-01T00:00:00Z,2026-11-08T00:00:00Z")
    seen = ["deploymentID,eventStart,scientificName"]
    seen += [f"c{number},2026-11-02T12:00:00Z,Odocoileus virginianus" for number in range(2)]
    folder.mkdir(exist_ok=True)
    paths = folder / "deployments.csv", folder / "observations.csv"
    for path, lines in zip(paths, (rows, seen), strict=True):
        path.write_text("\n".join(lines) + "\n")
    return paths


def read(paths):
    """The records of tables."""
    return read_cameras(paths, PLACE, hand_made.findings(), zone=ZONE)


def test_two_tables_are_read_in_any_order_or_by_their_folder(tmp_path):
    deployments, observations = exchange(tmp_path / "cards")
    every = [
        read(paths).log
        for paths in (
            [deployments, observations],
            [observations, deployments],
            [tmp_path / "cards"],
        )
    ]
    assert [len(log.sightings) for log in every] == [2, 2, 2]
    assert [[stay.name for stay in log.stays] for log in every] == [["c0", "c1"]] * 3


def test_a_plain_table_may_name_the_clusters_of_the_findings(tmp_path):
    path = tmp_path / "cards.csv"
    path.write_text("\n".join(EXAMPLE.splitlines()[:3]) + "\n")
    (stay,) = read([path]).log.stays
    assert (stay.x_m, stay.y_m) == hand_made.findings().clusters[0].camera_m
    with pytest.raises(RecordError, match="no cluster"):
        read_cameras([path], PLACE, None, zone=ZONE)


def test_cameras_off_the_property_are_left_out_and_told(tmp_path):
    found = read(list(exchange(tmp_path / "one", far=1)))
    assert [stay.name for stay in found.log.stays] == ["c1"]
    assert len(found.log.sightings) == 1
    assert found.notes == ("Off the property and left out: c0.",)
    with pytest.raises(RecordError, match="None of its 2 cameras"):
        read(list(exchange(tmp_path / "two", far=2)))


def test_other_files_are_told(tmp_path):
    deployments, observations = exchange(tmp_path / "cards")
    with pytest.raises(RecordError, match="too many"):
        read([deployments, observations, observations])
    with pytest.raises(RecordError, match="cannot be read"):
        read([deployments, tmp_path / "none.csv"])
    with pytest.raises(RecordError, match="cannot be read"):
        read([tmp_path])
    with pytest.raises(RecordError, match="missing"):
        read([deployments, deployments])
