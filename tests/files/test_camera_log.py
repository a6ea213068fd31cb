"""Camera tables in the open exchange format become visits and nights."""

from __future__ import annotations

from pathlib import Path

import pytest

from funnelfinder.errors import RecordError
from funnelfinder.files.camera_log import read_camera_log

SHARED = Path(__file__).parents[3] / "shared" / "real" / "cameras"
DEPLOYMENTS = """deploymentID,latitude,longitude,deploymentStart,deploymentEnd
one,38.9,-81.7,2026-11-01T00:00:00-04:00,2026-11-08T00:00:00-05:00
two,38.8,-81.6,2026-11-01T12:00:00-04:00,2026-11-02T12:00:00-05:00
"""
OBSERVATIONS = """deploymentID,eventStart,scientificName
one,2026-11-01T06:00:00Z,Odocoileus virginianus
one,2026-11-01T06:00:00Z,Odocoileus virginianus
one,2026-11-01T06:29:00Z,odocoileus virginianus
one,2026-11-01T06:59:00Z,Odocoileus virginianus
one,2026-11-01T09:00:00Z,Procyon lotor
"""


def tables(folder: Path, deployments: str = DEPLOYMENTS, observations: str = OBSERVATIONS):
    """The two tables as files."""
    paths = folder / "deployments.csv", folder / "observations.csv"
    for path, text in zip(paths, (deployments, observations), strict=True):
        path.write_text(text)
    return paths


def test_records_near_in_time_are_one_visit(tmp_path):
    # O'Brien et al. 2003, Anim. Conserv. 6:131: at least 30 minutes apart (from memory).
    one, two = read_camera_log(*tables(tmp_path))
    assert [f"{time:%H:%M}" for time in one.visits] == ["06:00", "06:59"]
    assert two.visits == ()
    assert (one.lat_deg, one.lon_deg) == (38.9, -81.7)


def test_nights_count_over_the_change_of_clocks(tmp_path):
    one, two = read_camera_log(*tables(tmp_path))
    assert one.nights == pytest.approx(7 + 1 / 24)
    assert two.nights == pytest.approx(1 + 1 / 24)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("eventStart", "begin", "eventStart is missing"),
        ("2026-11-01T06:29:00Z", "yesterday", "line 4: 'yesterday' is no time"),
        ("06:29:00Z", "06:29:00", "time zone"),
        ("one,38.9,-81.7", "one,north,-81.7", "no number"),
        ("one,38.9,-81.7", "one,nan,-81.7", "no place"),
        ("2026-11-08T00:00:00-05:00", "2026-10-08T00:00:00-04:00", "ended before"),
        ("one,2026-11-01T09:00:00Z,Procyon lotor", "one", "cut short"),
    ],
)
def test_spoilt_tables_are_told(tmp_path, old, new, told):
    spoilt = tables(tmp_path, DEPLOYMENTS.replace(old, new), OBSERVATIONS.replace(old, new))
    with pytest.raises(RecordError, match=told):
        read_camera_log(*spoilt)


def test_a_missing_table_is_told(tmp_path):
    with pytest.raises(RecordError, match="cannot be read"):
        read_camera_log(tmp_path / "a.csv", tmp_path / "b.csv")


@pytest.mark.skipif(not SHARED.is_dir(), reason="the real camera tables are not here")
def test_the_format_s_own_example_is_read():
    found = read_camera_log(
        SHARED / "camtrapdp_example_deployments.csv",
        SHARED / "camtrapdp_example_observations.csv",
        species="Anas platyrhynchos",
    )
    assert len(found) == 4
    assert sum(len(one.visits) for one in found) > 0
    # First deployment of the example: 30 May to 1 July 2020.
    assert found[0].nights == pytest.approx(32.28, abs=0.01)
