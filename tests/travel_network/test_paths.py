"""Least-cost distances, paths, pairs and detours."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.cost import cost_surface
from funnelfinder.errors import GridError, NoWayError
from funnelfinder.marks import MarkKind
from funnelfinder.travel_network import (
    cost_distance,
    cost_distances,
    detour_share,
    least_cost_path,
    moves_of,
    pair_costs,
    pair_paths,
)
from funnelfinder.travel_network.paths import path_of
from tests import scenes


def made(*marks, cell_m=10.0, **more):
    place, grids = scenes.scene(marks=[*scenes.pair_marks(), *marks], cell_m=cell_m, **more)
    ground = scenes.ground_of(place, grids)
    return ground, cost_surface(ground, place.settings.cost)


def shut_fence(*gaps):
    line = scenes.line((400, -200), (400, 800))
    fence = scenes.mark(MarkKind.FENCE, line, "Tall fence", height_m=3.0)
    return [
        fence,
        *(scenes.mark(MarkKind.GAP, scenes.point(400, y), f"Gap {y}", width_m=6.0) for y in gaps),
    ]


def test_a_pair_costs_what_lies_between_the_edges_of_its_patches():
    ground, surface = made()
    cost_m, length_m = pair_costs(surface, ground.beds, ground.foods)
    assert cost_m.shape == (1, 1)
    assert cost_m[0, 0] == pytest.approx(400.0 - 80.0, abs=20.0)
    assert length_m[0, 0] == pytest.approx(cost_m[0, 0])


def test_paths_cost_the_same_there_and_back():
    ground, surface = made(height=lambda x, y: 300 + 15 * np.sin(x / 60) * np.cos(y / 45))
    bed, food = ground.beds[0].cells, ground.foods[0].cells
    there, back = least_cost_path(surface, bed, food), least_cost_path(surface, food, bed)
    assert there.cost_m == pytest.approx(back.cost_m, rel=1e-12)
    assert there.cost_m > there.length_m


def test_pair_paths_run_from_bed_to_food_at_the_least_cost():
    ground, surface = made(height=lambda x, y: 300 + 15 * np.sin(x / 60) * np.cos(y / 45))
    path = pair_paths(surface, ground.beds, ground.foods)[0, 0]
    assert path.cells[0] in ground.beds[0].cells
    assert path.cells[-1] in ground.foods[0].cells
    best = least_cost_path(surface, ground.beds[0].cells, ground.foods[0].cells)
    assert path.cost_m == pytest.approx(best.cost_m)


def test_a_pair_that_no_way_links_costs_without_end():
    ground, surface = made(*shut_fence())
    cost_m, length_m = pair_costs(surface, ground.beds, ground.foods)
    assert np.isinf(cost_m).all()
    assert np.isinf(length_m).all()
    assert pair_paths(surface, ground.beds, ground.foods) == {}
    with pytest.raises(NoWayError):
        least_cost_path(surface, ground.beds[0].cells, ground.foods[0].cells)


def test_searches_made_together_are_those_made_alone():
    _, surface = made()
    moves = moves_of(surface)
    starts = [np.array([k]) for k in (3, 700, 1500)]
    for start, found in zip(starts, cost_distances(moves, starts), strict=True):
        np.testing.assert_array_equal(found.distance_m, cost_distance(moves, start).distance_m)


def test_shutting_the_only_gap_leaves_no_other_way():
    ground, surface = made(*shut_fence(300))
    gap = scenes.EAST_0 + 400.0, scenes.NORTH_0 + 300.0
    bed, food = ground.beds[0].cells, ground.foods[0].cells
    assert detour_share(surface, bed, food, gap, 30.0) == math.inf


def test_shutting_one_of_two_gaps_sends_trips_round_by_the_other():
    ground, surface = made(*shut_fence(300, 500))
    gap = scenes.EAST_0 + 400.0, scenes.NORTH_0 + 300.0
    bed, food = ground.beds[0].cells, ground.foods[0].cells
    _, only_other = made(*shut_fence(500))
    least = least_cost_path(surface, bed, food).cost_m
    rerouted = least_cost_path(only_other, bed, food).cost_m
    moves = moves_of(surface)
    share = detour_share(moves, bed, food, gap, 30.0, to_food=cost_distance(moves, food))
    assert share == pytest.approx(rerouted / least - 1.0)
    assert share > 0.1


def test_shutting_a_disc_aside_changes_nothing():
    ground, surface = made()
    aside = scenes.EAST_0 + 400.0, scenes.NORTH_0 + 550.0
    bed, food = ground.beds[0].cells, ground.foods[0].cells
    assert detour_share(surface, bed, food, aside, 30.0) == pytest.approx(0.0, abs=1e-12)


def test_a_detour_round_a_disc_on_even_ground_is_that_of_a_taut_string():
    """Round a disc of 60 m in the middle of 320 m: tangents and arc, and a cell of grid."""
    ground, surface = made(cell_m=5.0)
    middle = scenes.EAST_0 + 400.0, scenes.NORTH_0 + 300.0
    bed, food = ground.beds[0].cells, ground.foods[0].cells
    share = detour_share(surface, bed, food, middle, 60.0)
    # From the middles of the patches, 200 m from the disc's, less the patches' radius of 40 m.
    tangent = math.sqrt(200.0**2 - 60.0**2)
    angle = math.pi - 2 * math.acos(60.0 / 200.0)
    taut = 2 * (tangent - 40.0) + 60.0 * angle
    assert (1 + share) * 320.0 == pytest.approx(taut, rel=0.05)


def test_a_search_without_starts_or_off_the_grid_is_refused():
    _, surface = made()
    with pytest.raises(GridError, match="needs a cell"):
        cost_distance(surface, np.array([], dtype=np.int64))
    with pytest.raises(GridError, match="outside the grid"):
        cost_distance(surface, np.array([surface.grid.n_cells]))


def test_cells_that_no_move_links_make_no_path():
    _, surface = made()
    moves = moves_of(surface)
    with pytest.raises(NoWayError):
        path_of(moves, np.array([0, 5]))
    removed = replace(
        surface,
        cost=np.where(np.arange(surface.cost.size) == 1, np.nan, 1.0).reshape(surface.cost.shape),
    )
    with pytest.raises(NoWayError):
        path_of(moves_of(removed), np.array([0, 1]))
