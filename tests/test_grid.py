"""Cells and the way between them and the map."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.errors import GridError
from funnelfinder.grid import Grid, frozen, snapped_grid


def grid_of(**changes: object) -> Grid:
    size = {"west_m": 100.0, "north_m": 60.0, "cell_m": 5.0, "n_rows": 4, "n_cols": 6}
    return Grid(epsg=32617, **{**size, **changes})


def test_a_grid_by_hand():
    grid = grid_of()
    assert grid.shape == (4, 6)
    assert grid.n_cells == 24
    assert grid.bounds_m == (100.0, 40.0, 130.0, 60.0)
    np.testing.assert_allclose(grid.points_m(0, 0), [[102.5, 57.5]])
    np.testing.assert_allclose(grid.points_m(3, 5), [[127.5, 42.5]])
    assert grid.transform @ (0, 0) == (100.0, 60.0)
    assert grid.transform @ (6, 4) == (130.0, 40.0)


@given(
    x=st.floats(100, 130),
    y=st.floats(40, 60),
)
def test_a_point_goes_to_its_cell_and_back(x: float, y: float):
    grid = grid_of()
    rows, cols = grid.rows_cols(np.array([[x, y]]))
    np.testing.assert_allclose(grid.points_m(rows, cols), [[x, y]], atol=1e-9)
    row, col = grid.nearest_cells(np.array([[x, y]]))
    assert np.abs(grid.points_m(row, col) - [[x, y]]).max() <= 2.5 + 1e-9


def test_points_outside_go_to_the_nearest_rim():
    rows, cols = grid_of().nearest_cells(np.array([[0.0, 1000.0], [1000.0, 0.0]]))
    np.testing.assert_array_equal(rows, [0, 3])
    np.testing.assert_array_equal(cols, [0, 5])


@given(
    west=st.floats(-1e6, 1e6),
    south=st.floats(0, 5e6),
    width=st.floats(1, 5000),
    depth=st.floats(1, 5000),
    cell_m=st.sampled_from([1.0, 5.0, 10.0, 30.0]),
)
def test_a_snapped_grid_covers_with_edges_on_whole_cells(west, south, width, depth, cell_m):
    east, north = west + width, south + depth
    grid = snapped_grid((west, south, east, north), cell_m=cell_m, epsg=32617)
    slack = 1e-6 * cell_m
    assert grid.west_m <= west + slack < grid.west_m + cell_m + 2 * slack
    assert grid.north_m >= north - slack > grid.north_m - cell_m - 2 * slack
    assert grid.east_m >= east - slack
    assert grid.south_m <= south + slack
    for edge in grid.bounds_m:
        assert edge / cell_m == pytest.approx(round(edge / cell_m), abs=1e-6)


def test_a_grid_of_other_cells_covers_the_same():
    other = grid_of().resized(10.0)
    assert other.bounds_m == (100.0, 40.0, 130.0, 60.0)
    assert other.shape == (2, 3)


@pytest.mark.parametrize(
    "wrong", [{"cell_m": 0.0}, {"west_m": float("nan")}, {"n_rows": 0}, {"n_cols": -1}]
)
def test_a_grid_that_cannot_be_is_refused(wrong):
    with pytest.raises(GridError):
        grid_of(**wrong)


def test_a_frozen_array_cannot_be_written():
    array = frozen(np.zeros(3))
    with pytest.raises(ValueError, match="read-only"):
        array[0] = 1.0
