"""Ways by way of a cell, and ridges of passage."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.cost import cost_surface
from funnelfinder.grid import Grid
from funnelfinder.marks import MarkKind
from funnelfinder.travel_network import cost_distance, moves_of, pair_paths
from funnelfinder.travel_network.paths import path_of
from funnelfinder.travel_network.trace import (
    MOST_COST,
    TracedPair,
    alternatives,
    by_way_of,
    ridge_cells,
)
from tests import scenes


def pair_of(*marks):
    place, grids = scenes.scene(marks=[*scenes.pair_marks(), *marks])
    ground = scenes.ground_of(place, grids)
    moves = moves_of(cost_surface(ground, place.settings.cost))
    bed, food = ground.beds[0], ground.foods[0]
    pair = TracedPair(
        n_bed=0,
        n_food=0,
        bed=bed,
        food=food,
        demand=1.0,
        from_bed=cost_distance(moves, bed.cells),
        to_food=cost_distance(moves, food.cells),
        path=pair_paths(moves, [bed], [food])[0, 0],
    )
    return moves, pair


def test_a_way_by_way_of_a_cell_costs_what_both_searches_say():
    moves, pair = pair_of()
    cell = 15 * moves.grid.n_cols + 50
    way = by_way_of(cell, pair)
    assert cell in way
    assert way[0] in pair.bed.cells
    assert way[-1] in pair.food.cells
    both = pair.from_bed.distance_m.flat[cell] + pair.to_food.distance_m.flat[cell]
    assert path_of(moves, way).cost_m == pytest.approx(both)


def test_a_way_by_way_of_a_dead_end_turns_back_on_no_cell():
    moves, pair = pair_of()
    behind = 40 * moves.grid.n_cols + 2
    way = by_way_of(behind, pair)
    assert len(set(way.tolist())) == len(way)
    assert np.isin(way, pair.bed.cells).sum() == 1


def test_even_ground_has_no_alternative_and_two_ponds_have_two():
    assert list(alternatives(*pair_of())) == []
    ponds = [
        scenes.mark(MarkKind.WATER, scenes.disc(400, y, 45), f"Pond {y}") for y in (240.0, 380.0)
    ]
    moves, pair = pair_of(*ponds)
    ways = [path_of(moves, way) for way in alternatives(moves, pair)]
    assert len(ways) == 2
    assert ways[0].cost_m <= ways[1].cost_m <= MOST_COST * pair.path.cost_m


def test_a_ridge_culminates_once_and_little_passage_is_none():
    grid = Grid(epsg=32617, west_m=0.0, north_m=400.0, cell_m=10.0, n_rows=40, n_cols=40)
    rows, cols = np.indices(grid.shape)
    hill = np.exp(-(((rows - 10) / 4.0) ** 2) - ((cols - 20) / 9.0) ** 2)
    faint = 0.1 * np.exp(-(((rows - 30) / 4.0) ** 2) - ((cols - 20) / 9.0) ** 2)
    track = np.array([10 * 40 + 20])
    assert ridge_cells(hill + faint, grid, 27.0, laid=track).tolist() == [10 * 40 + 20]
    both = ridge_cells(hill + 5 * faint, grid, 27.0, laid=track).tolist()
    assert both == [10 * 40 + 20, 30 * 40 + 20]
