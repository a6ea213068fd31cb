"""Camera records: what cannot be is told, and nothing counts twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.errors import RecordError
from funnelfinder.evidence import CameraLog, CameraStay, Sighting, read_time

BEGUN = datetime(2026, 10, 1, 17, 0, tzinfo=UTC)


def stay(name: str = "Saddle", days: float = 10.0, **more: object) -> CameraStay:
    """A camera that hung for some days."""
    given: dict[str, object] = {
        "name": name,
        "begun": BEGUN.isoformat(),
        "ended": (BEGUN + timedelta(days=days)).isoformat(),
        "x_m": 400_000.0,
        "y_m": 4_300_000.0,
    }
    return CameraStay(**{**given, **more})


def seen(one: CameraStay, hours: float) -> Sighting:
    """A sighting so long after the stay began."""
    return Sighting(stay=one.key, at=(BEGUN + timedelta(hours=hours)).isoformat())


def test_nights_are_days_and_parts_of_days_whatever_the_clocks():
    east = timezone(timedelta(hours=-4))
    ended = (BEGUN + timedelta(days=2.5)).astimezone(east).isoformat()
    assert stay(ended=ended).nights == pytest.approx(2.5)


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"name": ""}, "no name"),
        ({"x_m": float("nan")}, "no place"),
        ({"ended": BEGUN.isoformat()}, "ended before"),
        ({"begun": "yesterday"}, "no time"),
        ({"begun": "2026-10-01T17:00:00"}, "time zone"),
    ],
)
def test_a_stay_that_cannot_be_is_told(more, told):
    with pytest.raises(RecordError, match=told):
        stay(**more)


def test_a_sighting_that_cannot_be_is_told():
    with pytest.raises(RecordError, match="are none"):
        Sighting(stay="one", at=BEGUN.isoformat(), n_deer=0)
    with pytest.raises(RecordError, match="no time"):
        Sighting(stay="one", at="at dusk")
    with pytest.raises(RecordError, match="of no camera"):
        CameraLog(sightings=(Sighting(stay="one", at=BEGUN.isoformat()),))


def test_the_same_card_read_again_counts_once():
    first = stay(key="first")
    again = stay(key="again", days=20.0)
    log = CameraLog(stays=(first,), sightings=(seen(first, 1), seen(first, 2)))
    more = CameraLog(stays=(again,), sightings=(seen(again, 1), seen(again, 2), seen(again, 300)))
    joined = log.with_records(more)
    assert joined == more
    assert joined.with_records(more) == more
    other = stay("Creek")
    assert len(log.with_records(CameraLog(stays=(other,))).stays) == 2


@given(
    st.lists(st.tuples(st.sampled_from("abc"), st.floats(0, 240)), max_size=12),
    st.sampled_from("abc"),
)
def test_taking_a_camera_out_leaves_the_others_as_they_were(records, gone):
    stays = {name: stay(name, key=name) for name in "abc"}
    log = CameraLog(
        stays=tuple(stays.values()),
        sightings=tuple(seen(stays[name], hours) for name, hours in records),
    )
    left = log.without(gone)
    assert all(one.stay != gone for one in left.sightings)
    kept = [one for one in log.sightings if one.stay != gone]
    assert list(left.sightings) == kept
    assert {one.key for one in left.stays} == set("abc") - {gone}


def test_a_time_of_the_season_cuts_stays_and_sightings():
    one = stay(key="one")
    log = CameraLog(stays=(one,), sightings=tuple(seen(one, 24 * day + 1) for day in range(10)))
    part = log.between(BEGUN + timedelta(days=3), BEGUN + timedelta(days=5))
    assert part.stays[0].nights == pytest.approx(2.0)
    assert len(part.sightings) == 2
    assert log.between(None, None) == log
    late = BEGUN + timedelta(days=30)
    assert log.between(late, None) == CameraLog()
    assert replace(part.stays[0], begun=one.begun, ended=one.ended) == one


def test_a_time_tells_its_zone():
    assert read_time("2026-11-07T06:40:00-05:00").utcoffset() == timedelta(hours=-5)
