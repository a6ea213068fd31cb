"""Camera tables in the open exchange format become stays and sightings."""

from __future__ import annotations

from pathlib import Path

import pytest

from funnelfinder.errors import RecordError
from funnelfinder.evidence import Deer
from funnelfinder.files.cameras_in import read_exchange_tables

SHARED = Path(__file__).parents[4] / "shared" / "real" / "cameras"
EPSG = 32617
DEPLOYMENTS = """deploymentID,latitude,longitude,deploymentStart,deploymentEnd,timestampIssues
one,38.9,-81.7,2026-11-01T00:00:00-04:00,2026-11-08T00:00:00-05:00,false
two,38.8,-81.6,2026-11-01T12:00:00-04:00,2026-11-02T12:00:00-05:00,true
"""
OBSERVATIONS = """deploymentID,eventStart,scientificName,count,lifeStage,sex,observationTags
one,2026-11-01T06:00:00Z,Odocoileus virginianus,1,adult,female,
one,2026-11-01T06:00:00Z,Odocoileus virginianus,2,adult,female,
one,2026-11-01T06:29:00Z,odocoileus virginianus,,adult,male,mature
one,2026-11-01T06:59:00Z,Odocoileus virginianus,1,subadult,male,immature
one,2026-11-01T07:59:00Z,Odocoileus virginianus,1,juvenile,,
one,2026-11-01T08:59:00Z,Odocoileus virginianus,1,,,
one,2026-11-01T09:00:00Z,Procyon lotor,1,,,
"""


def tables(folder: Path, deployments: str = DEPLOYMENTS, observations: str = OBSERVATIONS):
    """The two tables as files."""
    paths = folder / "deployments.csv", folder / "observations.csv"
    for path, text in zip(paths, (deployments, observations), strict=True):
        path.write_text(text)
    return paths


def test_deer_are_told_by_sex_age_and_tag_and_nothing_counts_twice(tmp_path):
    read = read_exchange_tables(*tables(tmp_path), epsg=EPSG)
    assert [(one.deer, one.n_deer) for one in read.log.sightings] == [
        (Deer.DOE, 2),
        (Deer.MATURE_BUCK, 1),
        (Deer.BUCK, 1),
        (Deer.FAWN, 1),
        (Deer.ANY, 1),
    ]
    assert [one.name for one in read.log.stays] == ["one", "two"]
    assert read.notes == ("two: its clock is unsure, by its table.",)


def test_places_come_onto_the_property_s_map(tmp_path):
    one, _ = read_exchange_tables(*tables(tmp_path), epsg=EPSG).log.stays
    # 38.9 N, 81.7 W lies 0.7 degrees west of the zone's middle, 81 W: 60.7 km by the length of a
    # degree of longitude there, 111.32 km times cos 38.9 (from memory), times 0.9996.
    assert one.x_m == pytest.approx(500_000 - 0.7 * 86_640 * 0.9996, abs=300)
    assert one.y_m == pytest.approx(4_306_000, abs=2_000)


def test_nights_count_over_the_change_of_clocks(tmp_path):
    one, two = read_exchange_tables(*tables(tmp_path), epsg=EPSG).log.stays
    assert one.nights == pytest.approx(7 + 1 / 24)
    assert two.nights == pytest.approx(1 + 1 / 24)


def test_a_record_far_outside_its_stay_is_left_out_and_told(tmp_path):
    wrong = OBSERVATIONS.replace("2026-11-01T08:59", "2016-01-01T00:00")
    read = read_exchange_tables(*tables(tmp_path, observations=wrong), epsg=EPSG)
    assert len(read.log.sightings) == 4
    assert any("one: 1 records lie outside" in note for note in read.notes)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("eventStart", "begin", "eventStart is missing"),
        ("2026-11-01T06:29:00Z", "yesterday", "line 4: 'yesterday' is no time"),
        ("06:29:00Z", "06:29:00", "time zone"),
        ("one,38.9,-81.7", "one,north,-81.7", "no number"),
        ("one,38.9,-81.7", "one,nan,-81.7", "does not lie between"),
        ("2026-11-08T00:00:00-05:00", "2026-10-08T00:00:00-04:00", "ended before"),
        ("one,2026-11-01T09:00:00Z,Procyon lotor,1,,,", "one", "cut short"),
        ("one,2026-11-01T08:59", "six,2026-11-01T08:59", "no deployment 'six'"),
        ("virginianus,2,", "virginianus,0,", "does not lie between"),
        ("two,38.8", "one,38.8", "one name"),
    ],
)
def test_spoilt_tables_are_told(tmp_path, old, new, told):
    spoilt = tables(tmp_path, DEPLOYMENTS.replace(old, new), OBSERVATIONS.replace(old, new))
    with pytest.raises(RecordError, match=told):
        read_exchange_tables(*spoilt, epsg=EPSG)


def test_a_missing_table_is_told(tmp_path):
    with pytest.raises(RecordError, match="cannot be read"):
        read_exchange_tables(tmp_path / "a.csv", tmp_path / "b.csv", epsg=EPSG)


@pytest.mark.skipif(not SHARED.is_dir(), reason="the real camera tables are not here")
def test_the_format_s_own_example_is_read():
    read = read_exchange_tables(
        SHARED / "camtrapdp_example_deployments.csv",
        SHARED / "camtrapdp_example_observations.csv",
        epsg=32631,
        species="Anas platyrhynchos",
    )
    assert len(read.log.stays) == 4
    assert {one.deer for one in read.log.sightings} <= set(Deer)
    assert read.log.sightings
    assert read.notes == ()
    # First deployment of the example: 30 May to 1 July 2020.
    assert read.log.stays[0].nights == pytest.approx(32.28, abs=0.01)
