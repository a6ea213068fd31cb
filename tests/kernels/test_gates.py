"""Ways between obstacles on costs small enough to draw."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.kernels.gates import gates
from funnelfinder.kernels.search import move_costs, search

WALL = np.inf


def gates_of(by_way, *, limit=100.0, prominence=1.0, known=()):
    by_way = np.array(by_way, dtype=float)
    is_last = np.zeros(by_way.shape, bool)
    for cell in known:
        is_last[cell] = True
    found = gates(by_way, limit_m=limit, prominence_m=prominence, is_last=is_last)
    return [divmod(int(cell), by_way.shape[1]) for cell in found]


BED, FOOD, DOORS = (2, 20), (18, 20), (17, 27, 8)


@pytest.fixture
def three_doors():
    """By-way costs across a wall with three doors, 3, 7 and 12 columns beside the straight way."""
    cost = np.ones((21, 41))
    cost[10] = np.nan
    cost[10, DOORS] = 1.0
    level = (np.ones_like(cost), np.zeros_like(cost), np.zeros_like(cost))
    moves = move_costs(cost, *level, cell_m=1.0, n_moves=8)
    ends = [np.array([row * 41 + col]) for row, col in (BED, FOOD)]
    return sum(search(moves, 41, end)[0] for end in ends).reshape(cost.shape)


def known_way(door):
    """The cells of a way through a door, and those beside it."""
    rows = np.arange(BED[0], FOOD[0] + 1)
    cols = np.rint(np.interp(rows, [BED[0], 10, FOOD[0]], [BED[1], door, FOOD[1]])).astype(int)
    return [(r, c + aside) for r, c in zip(rows, cols, strict=True) for aside in (-1, 0, 1)]


def test_each_door_but_the_known_one_is_a_gate_cheapest_first(three_doors):
    """To a cell, since obstacles close in diagonally a little before a way is cut."""
    found = gates_of(three_doors, known=known_way(DOORS[0]))
    assert [three_doors[cell] for cell in found] == pytest.approx(
        [three_doors[10, DOORS[1]], three_doors[10, DOORS[2]]], abs=1.0
    )


def test_a_door_dearer_than_the_limit_is_none(three_doors):
    limit = (three_doors[10, DOORS[1]] + three_doors[10, DOORS[2]]) / 2
    assert len(gates_of(three_doors, limit=limit, known=known_way(DOORS[0]))) == 1


def test_a_way_between_low_obstacles_is_none():
    """A mound of height 3 in a meadow of 10: ways on either side differ by less than 5."""
    by_way = np.full((7, 7), 10.0)
    by_way[3, 3] = 13.0
    by_way[0] = by_way[-1] = 60.0
    known = [(1, c) for c in range(7)]
    assert gates_of(by_way, prominence=5.0, known=known) == []
    assert len(gates_of(by_way, prominence=2.0, known=known)) == 1


def test_walls_that_touch_at_corners_leave_no_gate():
    """Moves may not slip between two removed cells that touch at a corner."""
    by_way = np.full((6, 6), 10.0)
    by_way[range(6), range(6)] = WALL
    assert gates_of(by_way, prominence=0.5) == []
