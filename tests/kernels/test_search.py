"""The search kernel on grids small enough to draw."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.kernels.search import HALF_MOVES, move_costs, search


def moves_on(cost, n_moves=8, cell_m=1.0, slope=None):
    level = (np.ones_like(cost), np.zeros_like(cost), np.zeros_like(cost))
    return move_costs(np.asarray(cost, float), *(slope or level), cell_m=cell_m, n_moves=n_moves)


def kept(step):
    return next(k for k, move in enumerate(HALF_MOVES.tolist()) if tuple(move) == step)


def by_flooding(moves, n_cols, start):
    """Distances by relaxing every move until nothing changes (Bellman and Ford)."""
    steps = HALF_MOVES[: moves.shape[1]] @ np.array([n_cols, 1])
    cell, k = np.nonzero(np.isfinite(moves))
    there, cost = cell + steps[k], moves[cell, k]
    distance = np.full(len(moves), np.inf)
    distance[start] = 0.0
    for _ in range(len(moves)):
        before = distance.copy()
        np.minimum.at(distance, there, before[cell] + cost)
        np.minimum.at(distance, cell, before[there] + cost)
        if np.array_equal(before, distance):
            break
    return distance


def test_a_move_costs_its_length_times_the_mean_of_the_cells_it_touches():
    cost = np.array([[1.0, 2.0, 7.0], [3.0, 5.0, 11.0], [13.0, 17.0, 19.0]])
    moves = moves_on(cost, cell_m=10.0)
    assert moves[0, kept((0, 1))] == pytest.approx(10 * (1 + 2) / 2)
    assert moves[0, kept((1, 1))] == pytest.approx(10 * math.sqrt(2) * (1 + 5) / 2)
    assert moves[0, kept((1, 2))] == pytest.approx(10 * math.sqrt(5) * (1 + 2 + 5 + 11) / 4)
    assert moves[0, kept((2, 1))] == pytest.approx(10 * math.sqrt(5) * (1 + 3 + 5 + 17) / 4)
    assert moves[2, kept((1, -2))] == pytest.approx(10 * math.sqrt(5) * (7 + 2 + 5 + 3) / 4)
    assert moves[1, kept((2, -1))] == pytest.approx(10 * math.sqrt(5) * (2 + 5 + 3 + 13) / 4)
    assert np.isinf(moves[2, kept((0, 1))])


def test_a_move_that_touches_a_removed_cell_is_dropped():
    cost = np.ones((3, 3))
    cost[0, 1] = np.nan
    moves = moves_on(cost)
    dropped = [(0, 1), (1, 1), (1, 2)]
    assert all(np.isinf(moves[0, kept(step)]) for step in dropped)
    assert np.isfinite(moves[0, kept((1, 0))])
    assert np.isfinite(moves[0, kept((2, 1))])
    assert np.isinf(moves[1]).all()


def test_slope_stretches_steps_down_the_fall_line_and_not_along_the_contour():
    shape = (3, 3)
    slope = (np.full(shape, 3.0), np.zeros(shape), np.ones(shape))
    moves = moves_on(np.ones(shape), slope=slope)
    assert moves[0, kept((1, 0))] == pytest.approx(3.0)
    assert moves[0, kept((0, 1))] == pytest.approx(1.0)
    assert moves[0, kept((1, 1))] == pytest.approx(math.sqrt(2) * math.sqrt(1 + 8 / 2))
    assert moves[0, kept((2, 1))] == pytest.approx(math.sqrt(5) * math.sqrt(1 + 8 * 4 / 5))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from([4, 8]))
def test_distances_are_those_of_relaxing_every_move(seed, n_moves):
    draw = np.random.default_rng(seed)
    n_rows, n_cols = draw.integers(1, 9, 2)
    cost = draw.uniform(1, 5, (n_rows, n_cols))
    cost[draw.random(cost.shape) < 0.2] = np.nan
    cost[0, 0] = 1.0
    moves = moves_on(cost, n_moves)
    distance, previous = search(moves, n_cols, np.array([0]))
    np.testing.assert_allclose(distance, by_flooding(moves, n_cols, 0), rtol=1e-12)
    assert np.array_equal(previous < 0, np.isinf(distance) | (np.arange(cost.size) == 0))


def test_starts_may_cost_something_already():
    distance, _ = search(
        moves_on(np.ones((1, 11))), 11, np.array([0, 10]), start_costs=np.array([0.0, 6.0])
    )
    np.testing.assert_allclose(distance, [0, 1, 2, 3, 4, 5, 6, 7, 8, 7, 6])


def test_a_search_ends_when_its_goals_are_reached():
    moves = moves_on(np.ones((1, 50)))
    distance, previous = search(moves, 50, np.array([0]), goals=np.array([3, 9]))
    assert np.isfinite(distance[:10]).all()
    assert np.isinf(distance[11:]).all()
    assert (previous[11:] == -1).all()
    nearest, _ = search(moves, 50, np.array([0]), goals=np.array([3, 9]), n_wanted=1)
    assert nearest[3] == 3.0
    assert np.isinf(nearest[9])


def test_shut_cells_are_walked_round():
    moves = moves_on(np.ones((5, 5)), 4)
    is_shut = np.zeros(25, bool)
    is_shut[[2, 7, 12, 17]] = True
    distance, _ = search(moves, 5, np.array([0]), is_shut=is_shut)
    assert np.isinf(distance[is_shut]).all()
    assert distance[4] == pytest.approx(4 + 4 * math.sqrt(2))


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_lower_bounds_hasten_a_search_and_change_no_cost(seed):
    draw = np.random.default_rng(seed)
    moves = moves_on(draw.uniform(1, 5, (12, 12)))
    bound, _ = search(moves, 12, np.array([143]))
    is_shut = draw.random(144) < 0.2
    is_shut[[0, 143]] = False
    plain, _ = search(moves, 12, np.array([0]), is_shut=is_shut)
    guided, _ = search(
        moves, 12, np.array([0]), goals=np.array([143]), still_to_come=bound, is_shut=is_shut
    )
    assert guided[143] == pytest.approx(plain[143])
    assert np.isfinite(guided).sum() <= np.isfinite(plain).sum()
