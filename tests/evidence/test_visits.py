"""Records become visits and nights, and the share by day follows the sun."""

from __future__ import annotations

from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.daylight import Half
from funnelfinder.defaults import DaylightSettings
from funnelfinder.evidence import (
    CameraLog,
    CameraStay,
    Deer,
    Sighting,
    SunClock,
    places_of,
    visits_of,
)

EAST = ZoneInfo("America/New_York")
#: Columbus, Ohio.
CLOCK = SunClock(39.96, -83.0, EAST, DaylightSettings())


def at(text: str) -> datetime:
    """A time in November 2026 by the clock there."""
    return datetime.fromisoformat(f"2026-11-{text}").replace(tzinfo=EAST)


def stay(name: str = "One", x_m: float = 400_000.0) -> CameraStay:
    """A camera for twenty nights of November."""
    return CameraStay(
        name=name,
        key=name,
        begun=at("01 12:00").isoformat(),
        ended=at("21 12:00").isoformat(),
        x_m=x_m,
        y_m=4_300_000.0,
    )


def log_of(*records: tuple[str, Deer], name: str = "One") -> CameraLog:
    """A camera with records."""
    return CameraLog(
        stays=(stay(name),),
        sightings=tuple(Sighting(stay=name, at=at(t).isoformat(), deer=d) for t, d in records),
    )


def test_light_is_told_by_the_sun():
    # United States Naval Observatory, Columbus, 15 November 2026, from memory to a few minutes:
    # sunrise 7:18, sunset 17:14; legal light half an hour before and after (common practice).
    for text, half, light in (
        ("15 06:40", Half.MORNING, False),
        ("15 06:56", Half.MORNING, True),
        ("15 12:00", Half.MORNING, True),
        ("15 12:40", Half.EVENING, True),
        ("15 17:38", Half.EVENING, True),
        ("15 17:54", Half.EVENING, False),
        ("15 02:00", Half.MORNING, False),
        ("15 23:30", Half.EVENING, False),
    ):
        sun = CLOCK.time_of(at(text))
        assert (sun.half, sun.is_light) == (half, light), text
    assert CLOCK.time_of(at("15 07:18")).minutes == pytest.approx(0, abs=4)
    assert CLOCK.time_of(at("15 17:14")).minutes == pytest.approx(0, abs=4)


def test_the_sun_does_not_care_for_the_clock_that_wrote_the_time():
    west = at("15 06:56").astimezone(ZoneInfo("America/Los_Angeles"))
    assert CLOCK.time_of(west) == CLOCK.time_of(at("15 06:56"))


def test_a_visit_is_as_telling_as_the_best_of_its_records():
    # O'Brien et al. 2003, Anim. Conserv. 6:131: records 30 minutes apart are two visits.
    log = log_of(
        ("05 07:30", Deer.DOE),
        ("05 07:45", Deer.MATURE_BUCK),
        ("05 08:00", Deer.DOE),
        ("05 08:30", Deer.FAWN),
        ("05 20:00", Deer.BUCK),
    )
    (place,) = places_of(log, CLOCK)
    assert [(f"{one.at:%H:%M}", one.deer) for one in place.visits] == [
        ("07:30", Deer.MATURE_BUCK),
        ("08:30", Deer.FAWN),
        ("20:00", Deer.BUCK),
    ]
    assert place.n_light == 2
    (hourly,) = places_of(log, CLOCK, apart_min=60.0)
    assert len(hourly.visits) == 2


def test_rates_and_shares_are_those_of_the_closed_forms():
    records = [(f"{day:02d} 09:00", Deer.DOE) for day in range(2, 5)]
    records += [(f"{day:02d} 21:00", Deer.DOE) for day in range(2, 19)]
    (place,) = places_of(log_of(*records), CLOCK)
    assert place.nights == pytest.approx(20.0)
    # Gamma(1 + 20, 3.3 + 20) and Beta(1 + 3, 1 + 17): means by hand.
    assert place.rate.mean == pytest.approx(21 / 23.3)
    assert place.light.mean == pytest.approx(4 / 22)
    # Beta(4, 18), from tables: middle 95 of 100.
    assert (place.light.low, place.light.high) == pytest.approx((0.0545, 0.3634), abs=5e-5)


def test_cameras_that_follow_each_other_at_one_tree_are_one_place():
    log = CameraLog(
        stays=(stay("One"), stay("Two", 400_010.0), stay("Three", 400_100.0)),
        sightings=(
            Sighting(stay="One", at=at("05 07:30").isoformat()),
            Sighting(stay="Two", at=at("05 07:40").isoformat()),
        ),
    )
    first, third = places_of(log, CLOCK)
    assert (first.name, first.nights, len(first.visits)) == ("One, Two", 40.0, 1)
    assert (third.name, third.visits) == ("Three", ())


minutes = st.lists(st.integers(0, 5000), max_size=30).map(sorted)


@given(minutes, st.floats(1, 120))
def test_visits_are_at_least_so_far_apart_and_every_gap_parts_them(offsets, apart):
    begin = at("01 00:00")
    times = [begin + timedelta(minutes=one) for one in offsets]
    visits = visits_of(times, apart)
    gaps = sum((b - a) >= timedelta(minutes=apart) for a, b in pairwise(times))
    assert len(visits) == (gaps + 1 if times else 0)
    assert set(visits) <= set(times)
