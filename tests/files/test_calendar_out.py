"""The calendar, read back by a parsing library; and the table."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from funnelfinder.errors import ExportError
from funnelfinder.files.calendar_out import calendar_bytes, plan_csv, write_calendar
from funnelfinder.plan import make_plan
from tests import hand_made

MADE_AT = datetime(2026, 7, 1, 12, 0, tzinfo=UTC)
ZONE = "America/New_York"


def plan(peak: str = "11-15"):
    """The plan of a season at the hand-made property."""
    place = replace(hand_made.place(), peak_breeding=peak)
    return make_plan(place, hand_made.findings(), today=date(2026, 7, 1))


def events(content: bytes):
    """The events of a calendar."""
    return Calendar.from_ical(content).walk("VEVENT")


@pytest.mark.parametrize("zone", [ZONE, ""])
def test_every_walk_comes_back_at_its_hours(zone):
    made = plan()
    read = events(calendar_bytes(made, time_zone=zone, made_at=MADE_AT))
    assert len(read) == len(made.walks) > 5
    for event, walk in zip(read, made.walks, strict=True):
        begin = event.decoded("dtstart")
        assert begin.date() == walk.on
        assert f"{begin:%H:%M}-{event.decoded('dtend'):%H:%M}" == walk.hours
        assert (begin.tzinfo is None) == (not zone)
        for task in walk.tasks:
            assert task.words in str(event["description"])
        assert "agency" in str(event["description"])


def test_the_clock_stays_right_over_the_change_of_clocks():
    # IANA time zone database: in 2026 New York leaves daylight time on 1 November.
    read = events(calendar_bytes(plan(), time_zone=ZONE, made_at=MADE_AT))
    offsets = {
        event.decoded("dtstart").date() < date(2026, 11, 1): event.decoded("dtstart").utcoffset()
        for event in read
    }
    assert offsets == {True: timedelta(hours=-4), False: timedelta(hours=-5)}


def test_the_time_zone_is_told_with_both_its_clocks():
    # RFC 5545, 3.6.5: a TZID must be told by a VTIMEZONE of the same file.
    content = calendar_bytes(plan(), time_zone=ZONE, made_at=MADE_AT)
    (zone,) = Calendar.from_ical(content).walk("VTIMEZONE")
    assert str(zone["tzid"]) == ZONE
    assert zone.walk("STANDARD")
    assert zone.walk("DAYLIGHT")
    assert f"TZID={ZONE}".encode() in content


def test_lines_are_folded_and_end_as_the_standard_asks():
    # RFC 5545, 3.1: CRLF, at most 75 octets a line.
    content = calendar_bytes(plan(), time_zone=ZONE, made_at=MADE_AT)
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(map(len, content.split(b"\r\n"))) <= 75


def test_each_event_has_a_reminder_and_a_name_that_stays():
    # RFC 5545, 3.6.1: UID and DTSTAMP are required.
    first, again = (
        events(calendar_bytes(plan(), time_zone=zone, made_at=MADE_AT)) for zone in (ZONE, "")
    )
    uids = [str(event["uid"]) for event in first]
    assert len(set(uids)) == len(uids)
    assert uids == [str(event["uid"]) for event in again]
    for event in first:
        (alarm,) = event.walk("VALARM")
        assert alarm.decoded("trigger") == timedelta(hours=-15)
        assert event.decoded("dtstamp") == MADE_AT


def test_a_season_over_new_year_comes_back():
    read = events(calendar_bytes(plan("01-21"), time_zone="America/Chicago", made_at=MADE_AT))
    assert {event.decoded("dtstart").year for event in read} == {2026, 2027}
    winter = [event.decoded("dtstart") for event in read if event.decoded("dtstart").month == 1]
    assert winter
    for begin in winter:
        assert begin.utcoffset() == ZoneInfo("America/Chicago").utcoffset(
            begin.replace(tzinfo=None)
        )


def test_the_table_has_a_row_for_each_task():
    made = plan()
    rows = list(csv.DictReader(io.StringIO(plan_csv(made))))
    assert [(row["date"], row["rule"]) for row in rows] == [
        (task.on.isoformat(), task.rule) for walk in made.walks for task in walk.tasks
    ]
    assert all(row["source"] for row in rows)


def test_a_file_that_cannot_be_written_is_told(tmp_path):
    for name, told in (("season.doc", "End its name"), ("none/season.ics", "folder")):
        with pytest.raises(ExportError, match=told):
            write_calendar(plan(), tmp_path / name, time_zone="", made_at=MADE_AT)
    assert not list(tmp_path.iterdir())
