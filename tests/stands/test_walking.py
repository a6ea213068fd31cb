"""What a walk costs: off beds, out of sight, not upwind, out of the trips' way."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from funnelfinder.daylight import Half
from funnelfinder.kernels import BoolArray
from funnelfinder.marks import MarkKind
from funnelfinder.stands import Moment, StandBase, way_ground, ways_to
from funnelfinder.stands.sits import air_of
from tests import scenes
from tests.stands import ready


def wall(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Level open ground with a bank 6 m high along y = 300, from x = 150 to 750."""
    return 300.0 + 6.0 * ((np.abs(y - 300.0) <= 15.0) & (x > 150) & (x < 750))


def pasture(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Pasture; woods only about the bed and in the north-east."""
    return np.where((y < 120) | (x > 780), 41, 81)


@cache
def open_ground(height=scenes.flat, cover=pasture) -> StandBase:
    """A bed in the south, a gate in the west, food in the east, on open ground."""
    place, grids = scenes.scene(
        width=900,
        depth=650,
        height=height,
        cover=cover,
        settings={"n-drawn": "500", "sight-reach": "700"},
        marks=[
            scenes.mark(MarkKind.BED, scenes.disc(450, 100, 30), "Low bed"),
            scenes.mark(MarkKind.FOOD, scenes.disc(850, 100, 30), "Acorns", crop="acorns"),
            scenes.mark(MarkKind.WAY_IN, scenes.point(100, 230), "Gate"),
        ],
    )
    return ready.base_of(place, grids)


def seen(base: StandBase) -> BoolArray:
    air = air_of(base, Moment(half=Half.EVENING, from_deg=180.0, speed_m_s=4.0))
    return way_ground(base, Half.EVENING, air).seen


def at(base: StandBase, x: float, y: float) -> tuple[int, int]:
    rows, cols = base.ground.grid.nearest_cells(scenes.corner(x, y)[None, :])
    return int(rows[0]), int(cols[0])


def with_settings(base: StandBase, **changes: float) -> StandBase:
    own = replace(base.settings.stands, **changes)
    return replace(base, settings=replace(base.settings, stands=own))


def test_a_bank_hides_what_walks_behind_it_and_open_ground_does_not():
    bare, banked = seen(open_ground()), seen(open_ground(wall))
    behind, beside = at(open_ground(), 450, 340), at(open_ground(), 450, 250)
    assert bare[behind]
    assert not banked[behind]
    assert banked[beside]


def test_eyes_and_antlers_on_a_tower_see_over_the_bank():
    """From 2.5 m to a head at 8 m, 240 m off behind 6 m at 200 m: the line passes at 7.1 m."""
    base, behind = open_ground(wall), at(open_ground(), 450, 340)
    assert not seen(base)[behind]
    assert seen(with_settings(base, antler_height_m=2.5, eye_height_m=8.0))[behind]


def test_woods_hide_beyond_their_depth():
    base = open_ground(scenes.flat, lambda x, y: np.full(x.shape, 41))
    assert not seen(base)[at(base, 450, 300)]
    assert seen(base)[at(base, 450, 160)]
    assert seen(with_settings(base, sight_cover_m=250.0))[at(base, 450, 300)]


def test_the_way_in_goes_behind_the_bank_out_of_sight():
    """Straight to the stand leads over open ground in sight of the bed; the way keeps behind."""
    base = open_ground(wall)
    air = air_of(base, Moment(half=Half.EVENING, from_deg=180.0, speed_m_s=4.0))
    walking = way_ground(base, Half.EVENING, air)
    x, y = scenes.corner(830, 240)
    stand = replace(ready.stands()[0], name="S9A", x_m=float(x), y_m=float(y))
    way = ways_to(base, walking, [stand])["S9A"]
    heedless = way_ground(
        with_settings(base, way_seen_cost=0.0, way_near_cost=0.0), Half.EVENING, air
    )
    short = ways_to(base, heedless, [stand])["S9A"]
    assert short.seen_share > 0.3
    assert way.seen_share < short.seen_share / 2
    assert way.length_m > short.length_m


def test_beds_are_kept_off_at_night_too():
    """Deer have left, but tracks by a bed tell them when they come home."""
    _, _, base = ready.found()
    air = air_of(base, Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0))
    bed = base.ground.beds[0].mark.geometry
    points = [(bed.centroid.x, bed.bounds[1] - far_m) for far_m in (15, 60, 400)]
    places = base.ground.grid.nearest_cells(np.array(points))
    heedful, heedless = (
        way_ground(one, Half.EVENING, air, is_out=True).moves.surface.cost[places]
        for one in (base, with_settings(base, way_near_cost=0.0))
    )
    extra = heedful - heedless
    assert extra[0] > 3.0
    assert extra[0] > extra[1] > extra[2]
    assert extra[2] < 0.4


def test_upwind_of_trips_under_way_costs_and_turning_the_wind_takes_it_away():
    """At the edge of light trips are under way: north of them a north wind carries scent down."""
    _, _, base = ready.found()
    place = at(base, 420, 480)
    found = []
    for from_deg in (0.0, 180.0):
        air = air_of(base, Moment(half=Half.EVENING, from_deg=from_deg, speed_m_s=4.0))
        found.append(way_ground(base, Half.EVENING, air, is_out=True))
    north, south = (one.upwind[place] for one in found)
    assert north > 0.02
    assert south == 0.0
    assert all((one.upwind <= 1.0).all() for one in found)


@pytest.mark.parametrize("half", Half)
def test_the_same_walk_costs_less_once_trips_have_passed(half):
    """Walking after all have passed costs no more than walking before any has."""
    _, _, base = ready.found()
    air = air_of(base, Moment(half=half, from_deg=90.0, speed_m_s=4.0))
    early = with_settings(base, walk_out_after_light_min=-300.0, walk_out_after_sunrise_min=-300.0)
    late = with_settings(base, walk_out_after_light_min=600.0, walk_out_after_sunrise_min=600.0)
    before, after = (way_ground(one, half, air, is_out=True) for one in (early, late))
    path = base.passing_map.flow_per_m[0].reshape(base.ground.grid.shape).argmax()
    costs = [one.moves.surface.cost.ravel()[path] for one in (before, after)]
    assert np.isnan(costs).all() or costs[0] > costs[1]
