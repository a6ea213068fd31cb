"""Ways in and out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
import shapely

from funnelfinder.daylight import Half
from funnelfinder.marks import MarkKind
from funnelfinder.stands import Moment, both_ways, way_ground, ways_to
from funnelfinder.stands.sits import air_of
from funnelfinder.travel_network.paths import path_of
from tests.stands import ready


def walking(half=Half.EVENING, from_deg=90.0, **more):
    _, _, base = ready.found()
    air = air_of(base, Moment(half=half, from_deg=from_deg, speed_m_s=4.0))
    return base, way_ground(base, half, air, **more)


def straight(grid, start: int, goal: int) -> np.ndarray:
    """The cells of a straight walk: diagonal and straight steps."""
    (r0, c0), (r1, c1) = divmod(start, grid.n_cols), divmod(goal, grid.n_cols)
    n = max(abs(r1 - r0), abs(c1 - c0))
    rows = np.rint(np.linspace(r0, r1, n + 1)).astype(int)
    cols = np.rint(np.linspace(c0, c1, n + 1)).astype(int)
    return rows * grid.n_cols + cols


@pytest.mark.parametrize("half", Half)
def test_the_way_in_never_costs_more_than_a_straight_walk(half):
    base, one = walking(half)
    ways = ways_to(base, one, ready.stands())
    grid = base.ground.grid
    checked = 0
    for way in ways.values():
        rows, cols = grid.nearest_cells(way.points_m[[0, -1]])
        cells = straight(grid, *(rows * grid.n_cols + cols).tolist())
        if not one.moves.surface.is_removed.ravel()[cells].any():
            checked += 1
            assert way.cost_m <= path_of(one.moves, cells).cost_m + 1e-6
    assert checked > 0


def test_a_way_keeps_off_beds_and_cores_and_measures_itself():
    base, one = walking()
    ways = ways_to(base, one, ready.stands())
    assert ways
    beds = shapely.union_all([bed.mark.geometry for bed in base.ground.beds])
    for way in ways.values():
        line = shapely.LineString(way.points_m)
        assert way.length_m == pytest.approx(line.length)
        assert way.to_bed_m == pytest.approx(beds.distance(line))
        assert way.to_bed_m > 0
        assert 0 <= way.crossed_share <= 1
        assert way.start == "Gate"
        assert way.climb_m >= 0
        assert way.minutes > way.length_m / 90


def test_the_fence_is_named_where_a_way_crosses_it():
    base, one = walking()
    fence = next(bar for bar in base.ground.barriers if bar.name == "Fence")
    for way in ways_to(base, one, ready.stands()).values():
        crosses = shapely.LineString(way.points_m).intersects(fence.line)
        assert ("fence Fence" in way.crossings) == crosses


def test_no_quiet_way_in_is_an_answer():
    """Asked to keep 10 miles off beds, none is quiet, and it says why."""
    base, one = walking()
    stands = replace(base.settings.stands, way_standoff_m=16_000.0)
    strict = replace(base, settings=replace(base.settings, stands=stands))
    for way in ways_to(strict, one, ready.stands()).values():
        assert not way.is_quiet
        assert way.words.startswith("No quiet way in on this wind: it passes")


def test_without_a_gate_there_is_no_way():
    base, _ = walking()
    marks = tuple(mark for mark in base.marks if mark.kind is not MarkKind.WAY_IN)
    bare = replace(base, marks=marks)
    air = air_of(bare, Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0))
    assert ways_to(bare, way_ground(bare, Half.EVENING, air), ready.stands()) == {}


def test_upwind_of_the_beds_is_dear_and_downwind_is_not():
    """With wind from the west scent blows east: the ground west of a bed is upwind of it."""
    base, one = walking(from_deg=270.0)
    bed = base.ground.beds[0].mark.geometry.centroid
    rows, cols = base.ground.grid.nearest_cells(
        np.array([[bed.x - 100, bed.y], [bed.x + 100, bed.y]])
    )
    west, east = one_values = [walking_value(one, r, c) for r, c in zip(rows, cols, strict=True)]
    assert west > 0.3, one_values
    assert east == 0.0


def walking_value(one, row: int, col: int) -> float:
    return float(one.smelt[row, col])


def trips_share(base, share: float):
    stands = replace(base.settings.stands, way_trips_share=share)
    return replace(base, settings=replace(base.settings, stands=stands))


def test_a_way_across_many_trips_still_to_come_is_not_quiet():
    base, one = walking()
    crossing = [way for way in ways_to(base, one, ready.stands()).values() if way.to_come_share]
    assert crossing
    # Before the evening's trips all are still to come.
    assert all(way.to_come_share > 0.95 * way.crossed_share for way in crossing)
    strict = ways_to(trips_share(base, 0.0), one, ready.stands()).values()
    loud = [way for way in strict if way.to_come_share > 0]
    assert all(not way.is_quiet for way in loud)
    assert all("still to come across your track" in way.words for way in loud)
    mild = ways_to(trips_share(base, 1.0), one, ready.stands()).values()
    assert not any("across your track" in "; ".join(way.faults) for way in mild)


def test_out_in_the_morning_the_trips_that_are_crossed_have_passed():
    base, one = walking(Half.MORNING, is_out=True)
    for way in ways_to(base, one, ready.stands()).values():
        assert way.to_come_share < 0.01
        assert way.at_min == 180
        assert f"setting out at {base.day.sunrise + timedelta(minutes=180):%H:%M}" in way.words


def test_the_climb_is_that_of_the_way_that_is_walked():
    """Out is walked from the stand: what fell on the way in is climbed."""
    moment = Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0)
    base, one = walking(is_out=True)
    _, outs = both_ways(base, ready.stands(), moment)
    assert set(outs) == set(ways_to(base, one, ready.stands()))
    for way in outs.values():
        rows, cols = base.ground.grid.nearest_cells(way.points_m)
        steps = np.diff(base.ground.elevation_m[rows, cols])
        assert way.climb_m == pytest.approx(-steps[steps < 0].sum())


def test_in_the_dark_nobody_is_seen():
    _, way_out = walking(Half.EVENING, is_out=True)
    _, way_in = walking(Half.EVENING)
    assert not way_out.seen.any()
    assert way_in.seen.any()
