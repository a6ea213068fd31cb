"""Each word of the log moves the plan, and no output names urine before the person allowed it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from funnelfinder.files.calendar_out import calendar_bytes, plan_csv
from funnelfinder.plan import make_plan, plan_text, walk_words
from funnelfinder.scrapes import ClusterKind
from funnelfinder.season import Action, Allowance, Done, Visit
from tests import hand_made

TODAY = date(2026, 10, 20)
EDGE = hand_made.cluster(1, kind=ClusterKind.FIELD_EDGE, name="Edge")
FUNNEL = hand_made.cluster(3, kind=ClusterKind.PINCH, name="Funnel")


def plan(*log: tuple[int, Done, int], today: date = TODAY, **more: object):
    """The plan after a log of (days before today, what, cluster)."""
    place = replace(hand_made.place(), peak_breeding="11-15")
    place = replace(place, season=replace(place.season, opening="09-26", **more))
    findings = hand_made.findings(clusters=(EDGE, FUNNEL))
    visits = []
    for ago, done, number in log:
        x, y = (EDGE if number == 1 else FUNNEL).scrapes_m[0]
        on = (today - timedelta(days=ago)).isoformat()
        visits.append(Visit(on=on, done=done, x_m=x, y_m=y))
    return make_plan(place, findings, today=today, log=visits)


def first(made, action: Action, number: int) -> date | None:
    """The first day of an action at a cluster."""
    days = [one.on for one in made.tasks if one.action is action and one.spot.number == number]
    return min(days, default=None)


@pytest.mark.parametrize(
    ("today", "done", "number", "action"),
    [
        (date(2026, 8, 28), Done.OPENED, 1, Action.OPEN),
        (date(2026, 7, 20), Done.STAND_HUNG, 3, Action.HANG_STAND),
        (date(2026, 7, 20), Done.CAMERA_HUNG, 3, Action.HANG_CAMERA),
        (date(2026, 11, 5), Done.CAMERA_MOVED, 3, Action.MOVE_CAMERA),
    ],
)
def test_what_is_done_once_is_not_asked_again(today, done, number, action):
    assert first(plan(today=today), action, number) is not None
    assert first(plan((1, done, number), today=today), action, number) is None


@pytest.mark.parametrize(
    ("today", "done", "number", "action", "days"),
    [
        (date(2026, 10, 28), Done.FRESHENED, 1, Action.FRESHEN, 7),
        (date(2026, 11, 14), Done.CAMERA_CHECKED, 3, Action.CHECK_CAMERA, 14),
        (date(2026, 10, 28), Done.SAT, 3, Action.SIT, 6),
    ],
)
def test_what_recurs_waits_from_when_it_was_done(today, done, number, action, days):
    """Least days of the work table, counted from the log."""
    again = first(plan((1, done, number), today=today), action, number)
    assert again is not None
    assert (again - (today - timedelta(days=1))).days >= days


def test_a_scrape_taken_over_or_dead_is_touched_no_more():
    for done, said in ((Done.TAKEN_OVER, "took it over"), (Done.MOVED, "moved")):
        made = plan((0, done, 1))
        assert first(made, Action.FRESHEN, 1) is None
        assert any(said in note for note in made.notes)
    dead = plan((40, Done.OPENED, 1), (0, Done.DEAD, 1))
    assert first(dead, Action.MOVE_SCRAPE, 1) is not None
    assert first(dead, Action.FRESHEN, 1) is None
    assert first(plan(), Action.FRESHEN, 1) is not None


def test_deer_seen_from_afar_is_no_entry():
    assert plan((1, Done.SEEN, 1)).tasks == plan().tasks


@pytest.mark.parametrize("allowance", [Allowance.UNKNOWN, Allowance.NONE])
def test_no_output_names_urine_before_it_is_allowed(allowance):
    made = plan(today=date(2026, 7, 1), allowance=allowance)
    made_at = datetime(2026, 7, 1, tzinfo=UTC)
    # A calendar folds its lines at any letter (RFC 5545, 3.1).
    calendar = calendar_bytes(made, time_zone="", made_at=made_at).replace(b"\r\n ", b"").decode()
    every = (plan_text(made), plan_csv(made), calendar, *map(walk_words, made.walks))
    assert all("urine" not in text.lower() and "in-heat" not in text.lower() for text in every)
    allowed = plan(today=date(2026, 7, 1), allowance=Allowance.NATURAL)
    assert "urine" in plan_text(allowed)
