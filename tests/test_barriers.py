"""Fences, ditches and creeks, and what a gap opens; the order of fences is in tests/against."""

from __future__ import annotations

import math

import pytest

from funnelfinder.barriers import barriers_of, crossing_cost_m
from funnelfinder.defaults import CostSettings
from funnelfinder.marks import Mark, MarkKind
from tests import scenes


def place_with(*marks: Mark):
    return scenes.scene(marks=marks)[0]


FENCE = scenes.mark(MarkKind.FENCE, scenes.line((100, 100), (500, 100)), "Line fence")
DITCH = scenes.mark(MarkKind.DITCH, scenes.line((100, 120), (500, 120)), "Ditch")


def test_ditches_and_creeks_cost_by_their_kind_and_width():
    costs = CostSettings()

    def creek(width_m):
        line = scenes.line((0, 0), (9, 0))
        return crossing_cost_m(scenes.mark(MarkKind.CREEK, line, width_m=width_m), costs)

    assert crossing_cost_m(DITCH, costs) == costs.ditch_m
    assert creek(None) == creek(10.0) == costs.creek_m
    assert creek(10.1) == costs.wide_creek_m


def test_a_gap_marked_as_a_point_opens_its_width_about_its_foot_on_the_line():
    gap = scenes.mark(MarkKind.GAP, scenes.point(250, 115), "Gap")
    (barrier,), notes = barriers_of(place_with(FENCE, gap))
    assert barrier.gaps_m == ((pytest.approx(148.0), pytest.approx(152.0)),)
    assert barrier.cost_m == 200.0
    assert notes == []


def test_a_gap_with_a_width_or_drawn_as_a_line_opens_that_much():
    wide = scenes.mark(MarkKind.GAP, scenes.point(250, 100), "Wide", width_m=12.0)
    drawn = scenes.mark(MarkKind.GAP, scenes.line((300, 100), (320, 100)), "Drawn")
    (barrier,), _ = barriers_of(place_with(FENCE, wide, drawn))
    assert barrier.gaps_m[0] == (pytest.approx(144.0), pytest.approx(156.0))
    assert barrier.gaps_m[1] == (pytest.approx(200.0), pytest.approx(220.0))


def test_a_gap_opens_the_fence_and_a_crossing_the_ditch_beside_it():
    gap = scenes.mark(MarkKind.GAP, scenes.point(200, 115), "Gap")
    crossing = scenes.mark(MarkKind.CROSSING, scenes.point(400, 105), "Ford")
    (fence, ditch), _ = barriers_of(place_with(FENCE, DITCH, gap, crossing))
    assert len(fence.gaps_m) == 1
    assert fence.gaps_m[0][0] == pytest.approx(98.0)
    assert len(ditch.gaps_m) == 1
    assert ditch.gaps_m[0][0] == pytest.approx(298.0)


def test_a_gap_far_from_any_line_is_a_note_and_opens_none():
    lost = scenes.mark(MarkKind.GAP, scenes.point(250, 140), "Lost gap")
    (barrier,), notes = barriers_of(place_with(FENCE, lost))
    assert barrier.gaps_m == ()
    assert len(notes) == 1
    assert "Lost gap" in notes[0]
    assert "33 yards" in notes[0]


def test_a_tall_fence_is_closed_and_each_part_of_a_line_is_a_barrier():
    import shapely

    both = shapely.MultiLineString([FENCE.geometry, DITCH.geometry])
    tall = scenes.mark(MarkKind.FENCE, both, "Game fence", height_m=2.4)
    barriers, _ = barriers_of(place_with(tall))
    assert [one.cost_m for one in barriers] == [math.inf, math.inf]
    assert {one.name for one in barriers} == {"Game fence"}
