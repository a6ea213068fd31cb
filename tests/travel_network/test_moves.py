"""Moves over lines, gaps and removed ground."""

from __future__ import annotations

import math

import numpy as np
import pytest

from funnelfinder.barriers import Barrier
from funnelfinder.cost import CostSurface
from funnelfinder.errors import FunnelFinderError
from funnelfinder.grid import Grid
from funnelfinder.marks import MarkKind
from funnelfinder.travel_network import cost_distance, least_cost_path, moves_of

CELL_M = 10.0


def even(rows, cols, *barriers):
    shape = rows, cols
    return CostSurface(
        grid=Grid(
            epsg=32617,
            west_m=0.0,
            north_m=rows * CELL_M,
            cell_m=CELL_M,
            n_rows=rows,
            n_cols=cols,
        ),
        cost=np.ones(shape),
        slope_factor=np.ones(shape),
        fall_east=np.zeros(shape),
        fall_north=np.zeros(shape),
        is_removed=np.zeros(shape, dtype=bool),
        barriers=barriers,
    )


def fence(*points, cost_m=200.0, gaps_m=()):
    return Barrier(
        name="Fence",
        kind=MarkKind.FENCE,
        points_m=np.array(points, dtype=float),
        cost_m=cost_m,
        gaps_m=gaps_m,
    )


def across(surface, n_neighbours=16):
    """Least cost from the west edge of the middle row to its east edge."""
    row = surface.grid.n_rows // 2 * surface.grid.n_cols
    ends = np.array([row]), np.array([row + surface.grid.n_cols - 1])
    return least_cost_path(surface, *ends, n_neighbours=n_neighbours).cost_m


@pytest.mark.parametrize("n_neighbours", [8, 16])
@pytest.mark.parametrize("tilt_deg", [0.0, 13.0, 30.0, 44.0])
def test_a_long_fence_adds_its_cost_once(n_neighbours, tilt_deg):
    lean = 300.0 * math.tan(math.radians(tilt_deg))
    line = fence((203.0 - lean, -100.0), (203.0 + lean, 500.0))
    plain, fenced = even(41, 41), even(41, 41, line)
    assert across(fenced, n_neighbours) == pytest.approx(across(plain, n_neighbours) + 200.0)


def test_lines_that_lie_over_each_other_add_their_costs():
    line = fence((203.0, -100.0), (203.0, 500.0))
    assert across(even(41, 41, line, line)) == pytest.approx(400.0 + 400.0)


@pytest.mark.parametrize("shift_m", np.linspace(0.0, 9.5, 12))
@pytest.mark.parametrize("tilt_deg", [0.0, 20.0, 45.0])
@pytest.mark.parametrize("n_neighbours", [8, 16])
def test_a_narrow_gap_in_a_closed_fence_is_always_open(shift_m, tilt_deg, n_neighbours):
    """A 4 m gap on 10 m cells, wherever the grid falls."""
    lean = 300.0 * math.tan(math.radians(tilt_deg))
    middle = math.hypot(lean, 300.0) + shift_m
    line = fence(
        (203.0 - lean, -95.0),
        (203.0 + lean, 505.0),
        cost_m=math.inf,
        gaps_m=((middle - 2.0, middle + 2.0),),
    )
    assert across(even(41, 41, line), n_neighbours) < 440.0


def test_a_glancing_move_far_from_a_gap_is_not_free():
    """A closed fence at 3 degrees to the rows: ways cross it at its gap, not 100 m before."""
    line = fence((-50.0, 188.0), (850.0, 235.0), cost_m=math.inf, gaps_m=((448.0, 452.0),))
    surface = even(41, 80, line)
    start = np.array([40 * 80 + 5])
    path = least_cost_path(surface, start, np.array([5]))
    y_fence = 188.0 + (path.points_m[:, 0] + 50.0) * 47.0 / 900.0
    is_north = path.points_m[:, 1] > y_fence
    crossing = path.points_m[np.flatnonzero(np.diff(is_north))[0]]
    gap = np.array([-50.0, 188.0]) + 450.0 * np.array([900.0, 47.0]) / math.hypot(900.0, 47.0)
    assert np.hypot(*(crossing - gap)) < 25.0


def test_a_closed_fence_with_no_gap_shuts_off_what_lies_behind():
    surface = even(11, 11, fence((53.0, -10.0), (53.0, 200.0), cost_m=math.inf))
    found = cost_distance(surface, np.array([0])).distance_m
    assert np.isfinite(found[:, :5]).all()
    assert np.isinf(found[:, 5:]).all()


def test_other_numbers_of_neighbours_are_refused():
    with pytest.raises(FunnelFinderError, match="Choose 8 or 16"):
        moves_of(even(3, 3), n_neighbours=12)
