"""When to go in: only what was recorded lately, by day, at the spot itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from funnelfinder.daylight import Half
from funnelfinder.declination import Leg
from funnelfinder.evidence import CameraLog, CameraStay, Deer, Sighting
from funnelfinder.plan import going_in
from funnelfinder.scrapes import ClusterKind
from funnelfinder.season import Done, Visit
from funnelfinder.stands import Stand, WindTable
from tests import hand_made

TODAY = date(2026, 11, 15)
FINDINGS = hand_made.findings()


def place():
    """The hand-made property with its clock and peak."""
    return replace(hand_made.place(), time_zone="America/New_York", peak_breeding="11-15")


def log(*records: tuple[str, Deer], cluster: int = 0) -> CameraLog:
    """A camera at a cluster since October, with records."""
    x_m, y_m = FINDINGS.clusters[cluster].camera_m
    stay = CameraStay(
        name="One",
        key="one",
        begun="2026-10-01T12:00:00-04:00",
        ended="2026-11-14T12:00:00-05:00",
        x_m=x_m,
        y_m=y_m,
    )
    seen = tuple(
        Sighting(stay="one", at=f"2026-11-{at}:00-05:00", deer=deer) for at, deer in records
    )
    return CameraLog(stays=(stay,), sightings=seen)


RECORDS = (
    ("10T07:10", Deer.DOE),
    ("10T07:20", Deer.MATURE_BUCK),
    ("12T16:40", Deer.MATURE_BUCK),
    ("12T22:40", Deer.MATURE_BUCK),
    ("13T12:00", Deer.BUCK),
)


def test_mature_bucks_in_light_are_told_latest_first():
    first, second = going_in(place(), FINDINGS, log(*RECORDS), today=TODAY)
    assert [f"{one.at:%d %H:%M}" for one in first.in_light] == ["12 16:40", "10 07:20"]
    assert [one.sun.half for one in first.in_light] == [Half.EVENING, Half.MORNING]
    assert first.n_mature == 3
    # From midnight at the end of 1 November to noon on the 14th.
    assert first.nights == pytest.approx(12.5, abs=0.01)
    assert (second.nights, second.in_light, second.last_read) == (0.0, (), None)


def test_what_lies_too_far_back_or_ahead_does_not_count():
    old = going_in(place(), FINDINGS, log(*RECORDS), today=TODAY, days=3)[0]
    assert (old.in_light, old.n_mature) == ((), 0)
    before = going_in(place(), FINDINGS, log(*RECORDS), today=date(2026, 11, 11))[0]
    assert [f"{one.at:%d %H:%M}" for one in before.in_light] == ["10 07:20"]


def test_what_the_person_saw_is_told_with_its_day():
    x_m, y_m = FINDINGS.clusters[0].camera_m
    visits = [
        Visit(on="2026-11-05", done=Done.SEEN, x_m=x_m, y_m=y_m, note="Ten points."),
        Visit(on="2026-11-06", done=Done.SAT, x_m=x_m, y_m=y_m),
        Visit(on="2026-09-05", done=Done.SEEN, x_m=x_m, y_m=y_m),
    ]
    first, second = going_in(place(), FINDINGS, CameraLog(), today=TODAY, log=visits)
    assert first.told == (visits[0],)
    assert second.told == ()


def test_a_spot_that_the_work_table_leaves_alone_says_so():
    staging = replace(FINDINGS.clusters[0], kind=ClusterKind.STAGING)
    findings = replace(FINDINGS, clusters=(staging, FINDINGS.clusters[1]))
    first, second = going_in(place(), findings, CameraLog(), today=TODAY)
    assert (first.left_alone, second.left_alone) == (True, False)
    without_peak = replace(place(), peak_breeding="")
    assert not going_in(without_peak, findings, CameraLog(), today=TODAY)[0].left_alone


def test_winds_are_those_of_the_stands_of_the_spot():
    x_m, y_m = FINDINGS.clusters[0].scrapes_m[0]
    stand = Stand(
        name="S1A",
        cluster=1,
        x_m=x_m,
        y_m=y_m - 18.0,
        scrapes_m=((x_m, y_m),),
        legs=(Leg(length_m=18.0, true_deg=0.0, magnetic_deg=8.0),),
        beside_share=0.0,
        backdrop_share=1.0,
        sun_in_eyes=(),
        in_range=(),
        shot_m=27.0,
    )
    alerted = np.full((1, 16, 2), 0.9)
    alerted[0, [0, 12], 0] = 0.0
    table = WindTable(stands=(stand,), caught=np.array([[0.3, 0.2]]), alerted=alerted)
    first, second = going_in(place(), FINDINGS, CameraLog(), today=TODAY, winds=table)
    assert [(one.half, one.winds) for one in first.stands] == [
        (Half.EVENING, ("N", "W")),
        (Half.MORNING, ()),
    ]
    assert first.stands[0].light_share == 0.3
    assert second.stands == ()
