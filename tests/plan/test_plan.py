"""A season's plan against its own table, checked by a second reading of the rules."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.errors import InputError
from funnelfinder.marks import MarkKind
from funnelfinder.plan import make_plan, plan_text
from funnelfinder.scrapes import ClusterKind
from funnelfinder.season import (
    Action,
    Allowance,
    Done,
    Phase,
    Scent,
    Visit,
    WorkRule,
    shipped_rules,
)
from tests import hand_made, scenes

EAST, NORTH = scenes.EAST_0, scenes.NORTH_0
KINDS = (ClusterKind.FIELD_EDGE, ClusterKind.STAGING, ClusterKind.PINCH, ClusterKind.TRAVEL)


def property_of(peak: str = "11-15", **more: object):
    """The hand-made property with a peak and choices."""
    place = replace(hand_made.place(), peak_breeding=peak)
    return replace(place, season=replace(place.season, **more))


def found():
    """One cluster of each kind."""
    clusters = tuple(
        hand_made.cluster(number, kind=kind, name=kind.value.capitalize())
        for number, kind in enumerate(KINDS, start=1)
    )
    return hand_made.findings(clusters=clusters)


def visit(on: date, done: Done, number: int = 1) -> Visit:
    """A visit at a cluster of the findings."""
    x, y = hand_made.cluster(number).scrapes_m[0]
    return Visit(on=on.isoformat(), done=done, x_m=x, y_m=y)


def whole(place, log=()):
    """The plan of a whole season."""
    return make_plan(place, found(), today=date(2026, 7, 1), log=log)


def check_limits(plan, rules, log, today) -> None:
    """Assert that no task breaks a rule of the table."""
    rows = {rule.rule: rule for rule in rules}
    for task in plan.tasks:
        offset, kind = (task.on - plan.peak_on).days, task.spot.kind
        assert task.on >= today
        rule = rows.get(task.rule)
        if rule is not None:
            assert rule.from_day <= offset <= rule.to_day
            assert kind in rule.at
            assert rule.action is task.action
        for limit in rules:
            if limit.action is Action.LEAVE and kind in limit.at:
                assert not limit.from_day <= offset <= limit.to_day
    for spot in plan.spots:
        check_spot(plan, spot, rules, log, today)


def check_spot(plan, spot, rules, log, today) -> None:
    """Assert that visits to one spot keep their distance in days."""
    own = [task for task in plan.tasks if task.spot.number == spot.number]
    worked = {task.on for task in own if task.action is not Action.SIT}
    sat = {task.on for task in own if task.action is Action.SIT}
    x, y = spot.x_m, spot.y_m
    here = [
        one for one in log if abs(one.x_m - x) < 75 and abs(one.y_m - y) < 75 and one.day <= today
    ]
    before = {one.day for one in here if one.done not in (Done.SEEN, Done.SAT)}
    gaps = [rule for rule in rules if rule.action is Action.GAP and spot.kind in rule.at]
    for on in worked:
        offset = (on - plan.peak_on).days
        least = max(
            (gap.every_days for gap in gaps if gap.from_day <= offset <= gap.to_day), default=0
        )
        assert not any(0 < (on - earlier).days < least for earlier in worked | before)
    assert not worked & sat
    logged_sat = {one.day for one in here if one.done is Done.SAT}
    for on in sat:
        # A stand sat yesterday rests.
        assert on - timedelta(days=1) not in sat | logged_sat
    for rule in rules:
        times = sorted(task.on for task in own if task.rule == rule.rule)
        if rule.every_days == 0:
            assert len(times) <= 1
        for one, after in pairwise(times):
            assert (after - one).days >= rule.every_days


rules_made = st.builds(
    lambda action, at, start, length, every, scent: WorkRule(
        rule=f"{action.value} {start} {length} {every}",
        action=action,
        at=tuple(sorted(at)),
        from_day=start,
        to_day=start + length,
        every_days=max(every, 1) if action is Action.GAP else every,
        scent=scent,
        hours="" if action in (Action.LEAVE, Action.GAP) else "11:00-14:00",
    ),
    st.sampled_from([one for one in Action if one is not Action.MOVE_SCRAPE]),
    st.sets(st.sampled_from([kind.value for kind in KINDS]), min_size=1),
    st.integers(-120, 60),
    st.integers(0, 90),
    st.integers(0, 30),
    st.sampled_from(Scent),
)
tables = st.one_of(
    st.just(shipped_rules()),
    st.lists(rules_made, min_size=1, max_size=8, unique_by=lambda one: one.rule).map(tuple),
)


@settings(max_examples=60, deadline=None)
@given(
    tables,
    st.dates(date(2024, 1, 1), date(2024, 12, 31)),
    st.dates(date(2023, 1, 1), date(2029, 12, 31)),
    st.lists(st.tuples(st.integers(-200, 5), st.sampled_from(Done), st.integers(1, 4)), max_size=8),
    st.tuples(st.sampled_from(Allowance), st.sampled_from(["", "09-15", "02-29"])),
)
def test_no_plan_breaks_a_rule_of_the_table(rules, peak, today, logged, chosen):
    allowance, opening = chosen
    place = property_of(f"{peak:%m-%d}", rules=rules, allowance=allowance, opening=opening)
    log = [visit(today + timedelta(days=days), done, at) for days, done, at in logged]
    plan = make_plan(place, found(), today=today, log=log)
    check_limits(plan, rules, log, today)
    if allowance in (Allowance.UNKNOWN, Allowance.NONE):
        assert "urine" not in plan_text(plan).lower()
        assert "gland" not in " ".join(task.scent for task in plan.tasks)


@pytest.mark.parametrize("allowance", Allowance)
def test_no_scent_is_named_beyond_what_is_allowed(allowance):
    scents = {task.scent for task in whole(property_of(allowance=allowance)).tasks if task.scent}
    named = {one for one in scents if "urine" in one}
    assert bool(named) == (allowance.value in ("natural", "certified", "synthetic"))
    if allowance is Allowance.SYNTHETIC:
        assert all(one.startswith("synthetic only") for one in named)
    if allowance is Allowance.CERTIFIED:
        assert all("certified" in one for one in named)


def test_no_scent_of_does_in_heat_before_the_seeking_phase_or_off_the_edge():
    tasks = whole(property_of(allowance=Allowance.NATURAL)).tasks
    heat = [task for task in tasks if "in-heat" in task.scent]
    assert heat
    assert all(task.spot.kind == "field edge" for task in heat)
    assert {task.phase for task in heat} <= {Phase.SEEKING, Phase.PEAK_BREEDING, Phase.LATE}


def test_staging_is_not_entered_from_about_the_twentieth_of_october():
    # Common practice, no source.
    days = [task.on for task in whole(property_of()).tasks if task.spot.kind == "staging"]
    assert days
    assert max(days) <= date(2026, 10, 20)


def test_cameras_move_to_funnels_while_bucks_and_does_run():
    # Common practice, no source.
    moves = [task for task in whole(property_of()).tasks if task.action is Action.MOVE_CAMERA]
    assert {task.spot.kind for task in moves} == {"pinch", "travel"}
    assert all(date(2026, 11, 1) <= task.on <= date(2026, 11, 15) for task in moves)


def test_a_january_peak_shifts_the_plan_as_a_whole():
    north = whole(property_of("11-15"))
    south = whole(property_of("01-21"))
    shift = south.peak_on - north.peak_on
    assert shift.days == 67
    moved = [(task.on + shift, task.rule, task.spot.number) for task in north.tasks]
    assert moved == [(task.on, task.rule, task.spot.number) for task in south.tasks]


def test_a_scrape_that_bucks_took_over_is_left_alone():
    today = date(2026, 10, 1)
    plan = make_plan(property_of(), found(), today=today, log=[visit(today, Done.TAKEN_OVER, 1)])
    own = {task.action for task in plan.tasks if task.spot.number == 1}
    assert not own & {Action.OPEN, Action.ADD, Action.FRESHEN}
    assert any("took it over" in note for note in plan.notes)
    others = {task.action for task in plan.tasks if task.spot.number == 3}
    assert Action.ADD in others


def test_a_dead_scrape_is_moved_after_its_weeks_and_not_before():
    today = date(2026, 10, 5)
    for weeks, is_moved in ((5, True), (1, False)):
        log = [visit(today - timedelta(weeks=weeks), Done.OPENED), visit(today, Done.DEAD)]
        plan = make_plan(property_of(), found(), today=today, log=log)
        actions = {task.action for task in plan.tasks if task.spot.number == 1}
        assert (Action.MOVE_SCRAPE in actions) == is_moved
        assert Action.FRESHEN not in actions


def test_what_was_done_is_not_planned_again():
    log = [visit(date(2026, 8, 25), Done.OPENED, 1)]
    plan = make_plan(property_of(), found(), today=date(2026, 8, 26), log=log)
    assert not any(task.action is Action.OPEN for task in plan.tasks if task.spot.number == 1)


def test_nothing_is_planned_in_a_core_unless_allowed():
    core = scenes.mark(MarkKind.CORE, scenes.disc(310, 310, 60), "Old ten's core")
    place = scenes.with_marks(property_of(), core)
    plan = whole(place)
    assert not any(task.spot.number == 1 for task in plan.tasks)
    assert any("Old ten's core" in note for note in plan.notes)
    allowed = replace(place, season=replace(place.season, may_enter_core=True))
    assert any(task.spot.number == 1 for task in whole(allowed).tasks)


def test_no_sitting_before_the_season_opens():
    plan = whole(property_of(opening="11-01"))
    sits = [task.on for task in plan.tasks if task.action is Action.SIT]
    assert sits
    assert min(sits) >= date(2026, 11, 1)
    unknown = whole(property_of())
    assert not any(task.action is Action.SIT for task in unknown.tasks)
    assert any("opening day" in note for note in unknown.notes)


def test_a_stand_sat_yesterday_rests():
    today = date(2026, 11, 5)
    place = property_of(opening="10-01")
    fresh = make_plan(place, found(), today=today)
    sat = make_plan(
        place, found(), today=today, log=[visit(today - timedelta(days=1), Done.SAT, 4)]
    )

    def first(plan):
        days = [
            task.on for task in plan.tasks if task.action is Action.SIT and task.spot.number == 4
        ]
        return min(days)

    assert first(sat) - (today - timedelta(days=1)) >= timedelta(days=6)
    assert first(fresh) < first(sat)


def test_spots_near_each_other_share_a_walk_and_entries_are_counted():
    plan = whole(property_of())
    assert len(plan.entries) == 1
    assert plan.entries[1] == len({task.on for task in plan.tasks})
    assert any(len({task.spot.number for task in walk.tasks}) > 1 for walk in plan.walks)


def test_winds_that_blow_to_the_bed_are_named():
    # The bed lies west of the first cluster: a wind from the east carries scent to it.
    plan = whole(property_of())
    assert plan.spots[0].winds == ("east",)


def test_law_and_health_stand_first():
    text = plan_text(whole(property_of()))
    assert text.startswith("Law and health first")
    for word in ("agency", "chronic wasting disease", "writing", "harness", "Ticks", "sick"):
        assert word in text


def test_without_a_peak_nothing_is_planned():
    with pytest.raises(InputError, match="No peak"):
        whole(property_of(""))


def test_a_season_over_new_year_is_planned_on_both_sides_of_it():
    plan = make_plan(property_of("01-21"), found(), today=date(2026, 12, 1))
    assert plan.peak_on == date(2027, 1, 21)
    assert {task.on.year for task in plan.tasks} == {2026, 2027}
