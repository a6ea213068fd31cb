"""What a step costs on hand-sized ground; energies are checked in tests/against."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.cost import cost_surface, even_surface, exposure_strength
from funnelfinder.defaults import CostSettings, Pressure
from funnelfinder.marks import MarkKind
from tests import scenes


def surface_at(x: float, y: float, **more: object):
    """The surface of a scene, and the row and column of a scene place."""
    place, grids = scenes.scene(**more)
    ground = scenes.ground_of(place, grids)
    row, col = (int(one[0]) for one in ground.grid.nearest_cells(scenes.corner(x, y)[None, :]))
    return cost_surface(ground, place.settings.cost), ground, row, col


def test_level_woods_cost_what_their_class_costs():
    surface, ground, row, col = surface_at(405, 305)
    assert surface.cost[row, col] == ground.cover_table.by_code[41].resistance
    assert surface.slope_factor[row, col] == 1.0
    assert surface.fall_east[row, col] == surface.fall_north[row, col] == 0.0


@pytest.mark.parametrize(
    ("pressure", "strength"), [("light", 0.5), ("moderate", 1.0), ("heavy", 2.0)]
)
def test_open_ground_costs_more_the_farther_from_cover(pressure, strength):
    def half(x, y):
        return np.where(x < 400, 41, 71)

    near, ground, row, col = surface_at(405, 305, cover=half, settings={"pressure": pressure})
    grass = ground.cover_table.by_code[71].resistance
    # Cells of 10 m: the first open cell lies 10 m from the last woody one, the next 20 m.
    for step in range(5):
        far = 1.0 - math.exp(-10.0 * (step + 1) / 40.0)
        wanted = grass * (1.0 + strength * far)
        assert near.cost[row, col + step] == pytest.approx(wanted)


def test_night_leaves_a_quarter_of_the_exposure():
    for pressure in Pressure:
        costs = CostSettings(pressure=pressure)
        assert exposure_strength(costs, is_night=True) == exposure_strength(costs) / 4


def test_the_larger_of_house_and_road_counts_and_fades_over_100_m():
    house = scenes.mark(MarkKind.HOUSE, scenes.point(405, 305), "House")
    road = scenes.mark(MarkKind.ROAD, scenes.line((405, -100), (405, 700)), "Road")
    surface, _, row, col = surface_at(405, 305, marks=[house, road])
    assert surface.cost[row, col] == pytest.approx(2.0)
    # 100 m east of both the house still counts more; far along the road only the road does.
    assert surface.cost[row, col + 10] == pytest.approx(1.0 + math.exp(-1.0))
    assert surface.cost[row - 30, col] == pytest.approx(1.5)


def test_the_fall_line_points_along_the_slope_and_has_length_one():
    surface, _, row, col = surface_at(405, 305, height=lambda x, y: 300 + 0.3 * x + 0.4 * y)
    fall = np.array([surface.fall_east[row, col], surface.fall_north[row, col]])
    np.testing.assert_allclose(np.abs(fall), [0.6, 0.8], atol=1e-4)
    assert fall[0] * fall[1] > 0
    # 0.5 rise a metre: E = 1 + (5.9 - 2.344 * 0.15) sin / 1.44, over the cosine.
    angle = math.atan(0.5)
    wanted = (1 + (5.9 - 2.344 * 0.15) * math.sin(angle) / 1.44) / math.cos(angle)
    assert surface.slope_factor[row, col] == pytest.approx(wanted, rel=1e-3)


def test_water_has_no_cost_and_even_ground_forgets_everything():
    pond = scenes.mark(MarkKind.WATER, scenes.disc(405, 305, 40), "Pond")
    surface, _, row, col = surface_at(405, 305, marks=[pond])
    assert np.isnan(surface.cost[row, col])
    assert surface.is_removed[row, col]
    even = even_surface(surface)
    assert (even.cost == 1.0).all()
    assert not even.is_removed.any()
    assert even.barriers == ()
    assert even.grid == surface.grid


def test_unknown_cover_costs_a_little_more_than_the_best():
    surface, _, row, col = surface_at(405, 305, cover=lambda x, y: np.where(x > 400, 7, 41))
    assert surface.cost[row, col] == 1.2


def test_another_table_changes_only_its_class():
    place, grids = scenes.scene(cover=lambda x, y: np.where(x > 400, 42, 41))
    ground = scenes.ground_of(place, grids)
    dear = ground.cover_table.with_resistances({42: 3.0})
    before = cost_surface(ground, place.settings.cost).cost
    after = cost_surface(replace(ground), place.settings.cost, table=dear).cost
    west = ground.cover == 41
    np.testing.assert_array_equal(after[west], before[west])
    assert (after[~west] == 3.0).all()
