"""Walks of a plan keep off beds and cores, and know the winds that carry scent to beds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
import shapely

from funnelfinder.analysis import run
from funnelfinder.analysis.sitting import property_day, sitting_base
from funnelfinder.daylight import Half
from funnelfinder.marks import MarkKind
from funnelfinder.plan import PlannedWays, make_plan, plan_text, planned_ways, spots_of
from funnelfinder.season import Action
from funnelfinder.stands import stands_for
from tests import scenes

TODAY = date(2026, 7, 1)


@pytest.fixture(scope="module")
def ready():
    """A gate whose straight way to the spots leads through a bed, and ground to go round."""
    marks = [
        *scenes.pair_marks(),
        scenes.mark(MarkKind.WAY_IN, scenes.point(20, 300), "West gate"),
        scenes.mark(MarkKind.CORE, scenes.disc(200, 300, 60), "Old ten's core"),
    ]
    place, grids = scenes.scene(marks=marks, settings={"n-drawn": "600"})
    place = replace(place, peak_breeding="11-15", time_zone="America/New_York")
    place = replace(place, season=replace(place.season, opening="09-26"))
    findings = run(place, grids, n_redraws=0)
    day, _ = property_day(place, TODAY)
    base = sitting_base(place, grids, findings, day)
    spots = spots_of(place, findings)
    stands = stands_for(base, findings.clusters, ())
    return place, findings, stands, planned_ways(base, spots, stands)


def test_ways_keep_off_beds_and_cores_where_a_straight_one_would_not(ready):
    place, findings, _, ways = ready
    shut = shapely.union_all([mark.geometry for mark in place.of_kind(MarkKind.BED, MarkKind.CORE)])
    spots = spots_of(place, findings)
    assert any(spot.crossed for spot in spots)
    assert set(ways.work) == {spot.number for spot in spots}
    every = [*ways.work.values(), *ways.onward.values(), *ways.sits.values()]
    for way in every:
        line = shapely.LineString(way.points_m)
        # Cells are 10 m; a way runs between their middles.
        assert line.intersection(shut.buffer(-8.0)).is_empty
        assert way.length_m == pytest.approx(line.length, rel=0.02)
        assert way.minutes > 0
        assert not set(way.winds) & set(way.bad_winds)
        assert len(way.winds) + len(way.bad_winds) == 8


def test_a_way_leads_from_the_gate_to_the_spot(ready):
    place, findings, _, ways = ready
    gate = next(place.of_kind(MarkKind.WAY_IN)).geometry
    for spot in spots_of(place, findings):
        way = ways.work[spot.number]
        assert way.start == "West gate"
        assert gate.distance(shapely.Point(way.points_m[0])) < 10
        assert shapely.Point(way.points_m[-1]).distance(shapely.Point(spot.x_m, spot.y_m)) < 10


def test_the_plan_walks_them_and_no_longer_warns_of_straight_ones(ready):
    place, findings, stands, ways = ready
    straight = make_plan(place, findings, today=TODAY)
    assert any("straight way" in note for note in straight.notes)
    plan = make_plan(place, findings, today=TODAY, ways=ways)
    assert not any("straight way" in note for note in plan.notes)
    # The walks change neither days nor work.
    assert [task.on for task in plan.tasks] == [task.on for task in straight.tasks]
    assert plan.entries == straight.entries
    for walk in plan.walks:
        assert walk.ways[0] is not None
        assert len(walk.ways) == len({task.spot.number for task in walk.tasks})
        assert set(walk.ways[0].bad_winds) <= set(walk.winds)
    assert "minutes, nearest bed West bed at" in " ".join(plan_text(plan).split())
    names = {stand.name for stand in stands}
    sits = [walk for walk in plan.walks if walk.tasks[0].action is Action.SIT]
    assert sits
    assert {walk.stand for walk in sits} <= names


def test_a_sit_takes_the_way_of_its_half_of_the_day(ready):
    place, findings, _, ways = ready
    plan = make_plan(place, findings, today=TODAY, ways=ways)
    for walk in plan.walks:
        if walk.stand:
            half = Half.MORNING if walk.hours < "12:00" else Half.EVENING
            assert walk.ways == (ways.sits[walk.stand, half],)


def test_spots_of_an_area_are_walked_on_from_one_to_the_next(ready):
    place, findings, _, ways = ready
    plan = make_plan(place, findings, today=TODAY, ways=ways)
    joined = [walk for walk in plan.walks if len(walk.ways) > 1]
    assert joined
    for walk in joined:
        numbers = list(dict.fromkeys(task.spot.number for task in walk.tasks))
        first = min(numbers, key=lambda number: ways.work[number].length_m)
        assert numbers[0] == first
        assert walk.ways[0] == ways.work[first]
        assert walk.ways[1] == ways.onward[numbers[0], numbers[1]]


def test_a_spot_that_no_way_leads_to_is_told(ready):
    place, findings, _, _ = ready
    plan = make_plan(place, findings, today=TODAY, ways=PlannedWays())
    for spot in plan.spots:
        assert any(
            note.startswith(spot.label) and "no way in leads there" in note for note in plan.notes
        )
    assert all(walk.ways == () for walk in plan.walks)
