"""The plain table: times of the property's clock, cameras at clusters or by degrees."""

from __future__ import annotations

import csv
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from funnelfinder.defaults import DaylightSettings
from funnelfinder.errors import RecordError
from funnelfinder.evidence import Deer, SunClock, places_of, read_time
from funnelfinder.files.cameras_in import EXAMPLE, read_plain_table

SHARED = Path(__file__).parents[4] / "shared" / "real" / "cameras"
ZONE = ZoneInfo("America/New_York")
CLUSTERS = {1: (400_300.0, 4_300_296.0)}


def read(folder: Path, text: str = EXAMPLE):
    """What a table of this text holds."""
    path = folder / "cards.csv"
    path.write_text(text)
    return read_plain_table(path, epsg=32617, zone=ZONE, clusters=CLUSTERS)


def test_the_example_is_read(tmp_path):
    log = read(tmp_path).log
    saddle, creek = log.stays
    assert (saddle.name, saddle.x_m, saddle.nights) == ("Saddle", 400_300.0, 21.0)
    assert creek.name == "Creek"
    assert [(one.deer, one.n_deer) for one in log.sightings] == [
        (Deer.DOE, 2),
        (Deer.MATURE_BUCK, 1),
    ]
    assert {one.stay for one in log.sightings} == {saddle.key}
    assert read_time(log.sightings[1].at) == datetime(2026, 10, 21, 7, 32, tzinfo=ZONE)


def test_times_with_a_zone_keep_it_and_others_follow_the_change_of_clocks(tmp_path):
    # IANA time zone database: New York leaves daylight time on 1 November 2026.
    text = EXAMPLE.splitlines()[0] + "\n"
    for at in ("2026-10-30 07:00", "2026-11-03 07:00", "2026-11-03T07:00:00-08:00"):
        text += f"A,1,,,2026-10-20,2026-11-20,{at},doe,1,\n"
    hours = [read_time(one.at).utcoffset() for one in read(tmp_path, text).log.sightings]
    assert hours == [timedelta(hours=-4), timedelta(hours=-5), timedelta(hours=-8)]


def test_the_latest_end_of_a_stay_counts(tmp_path):
    text = EXAMPLE.replace("2026-10-24,2026-10-21 07:32", "2026-10-30,2026-10-21 07:02")
    assert read(tmp_path, text).log.stays[0].nights == 27.0


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("camera,", "device,", "camera is missing"),
        ("Saddle,1,", "Saddle,7,", "line 2: There is no cluster '7'"),
        ("Saddle,1,", "Saddle,,", "no number"),
        ("2026-10-09 18:41", "2026-10-09", "time of day"),
        ("2026-10-09 18:41", "at dusk", "no time"),
        ("doe", "elk", "no deer"),
        (",doe,2,", ",doe,two,", "no number"),
        ("2026-10-03,2026-10-24,2026-10-09", "2026-10-30,2026-10-24,2026-10-09", "ended before"),
        ("Creek,,38.8301", ",,38.8301", "line 4: A camera has no name"),
    ],
)
def test_spoilt_tables_are_told_with_their_line(tmp_path, old, new, told):
    with pytest.raises(RecordError, match=told):
        read(tmp_path, EXAMPLE.replace(old, new, 1))


def test_an_empty_table_is_told(tmp_path):
    with pytest.raises(RecordError, match="no line"):
        read(tmp_path, EXAMPLE.splitlines()[0] + "\n")


@pytest.mark.skipif(not SHARED.is_dir(), reason="the real camera tables are not here")
def test_a_real_table_of_deer_keeps_its_visits_and_its_daylight(tmp_path):
    """Murphy et al. 2021, J. Anim. Ecol. 90:2377: deer in Pennsylvania, summers of 2016 and on."""
    path = SHARED / "pennsylvania_camera_murphy2021.csv"
    with path.open(newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["Species"] in ("Deer", "Fawn")]
    sites = sorted({row["Site"] for row in rows})[:12]
    lines = [EXAMPLE.splitlines()[0]]
    by_hand = 0
    for site in sites:
        own = sorted(
            (datetime.fromisoformat(row["DateTime"]), row["Species"].lower())
            for row in rows
            if row["Site"] == site
        )
        begin, end = own[0][0] - timedelta(days=1), own[-1][0] + timedelta(days=1)
        lines += [f"{site},1,,,{begin},{end},{at},{kind},1," for at, kind in own]
        # A second reading of the rule: half an hour and more since the record before.
        by_hand += 1 + sum(
            (own[k][0] - own[k - 1][0]).total_seconds() >= 1800 for k in range(1, len(own))
        )
    text = "\n".join(lines) + "\n"
    clusters = {k: (400_000.0 + 100 * k, 4_500_000.0) for k in range(len(sites))}
    for number, site in enumerate(sites):
        text = text.replace(f"{site},1,", f"{site},{number},")
    (tmp_path / "real.csv").write_text(text)
    found = read_plain_table(tmp_path / "real.csv", epsg=32618, zone=ZONE, clusters=clusters)
    clock = SunClock(40.7, -77.7, ZONE, DaylightSettings())
    places = places_of(found.log, clock)
    assert len(places) == len(sites)
    assert sum(len(one.visits) for one in places) == by_hand
    assert found.notes == ()
    # In summer two thirds of the clock is legal light; deer there are seen by day and night.
    light = sum(one.n_light for one in places) / by_hand
    assert 0.3 < light < 0.95
