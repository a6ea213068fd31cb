"""Marks and distances on cells, by hand."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from funnelfinder.grid import Grid
from funnelfinder.ground.masks import block_mean, cells_of, distance_m, union_cells, wide_parts
from funnelfinder.marks import MarkKind
from tests import scenes

GRID = Grid(epsg=32617, west_m=0.0, north_m=50.0, cell_m=10.0, n_rows=5, n_cols=6)


def test_block_means_pass_over_holes():
    values = np.array([[1.0, 3.0, np.nan, np.nan], [5.0, np.nan, np.nan, np.nan]])
    np.testing.assert_array_equal(block_mean(values, 2), [[3.0, np.nan]])
    np.testing.assert_array_equal(block_mean(values, 1), values)


def test_a_polygon_takes_the_cells_whose_centres_it_holds():
    mask = cells_of(shapely.box(0, 30, 26, 50), GRID)
    assert mask.sum() == 6
    assert mask[:2, :3].all()


def test_a_polygon_smaller_than_a_cell_takes_one():
    mask = cells_of(shapely.box(41, 21, 42, 22), GRID)
    np.testing.assert_array_equal(np.argwhere(mask), [[2, 4]])


def test_a_line_takes_every_cell_that_it_touches():
    mask = cells_of(shapely.LineString([(5, 45), (55, 45)]), GRID)
    np.testing.assert_array_equal(np.flatnonzero(mask), np.arange(6))


def test_what_misses_the_grid_takes_none():
    assert not cells_of(shapely.box(1000, 1000, 1010, 1010), GRID).any()
    assert not cells_of(shapely.Polygon(), GRID).any()


def test_marks_together_take_the_cells_of_each():
    marks = [
        scenes.mark(MarkKind.KEEP_OFF, shapely.box(0, 40, 10, 50), "one"),
        scenes.mark(MarkKind.KEEP_OFF, shapely.box(50, 0, 60, 10), "two"),
    ]
    np.testing.assert_array_equal(np.flatnonzero(union_cells(marks, GRID)), [0, 29])


def test_distances_are_between_the_middles_of_cells():
    mask = np.zeros((4, 5), dtype=bool)
    mask[0, 0] = True
    far = distance_m(mask, 10.0)
    assert far[0, 0] == 0.0
    assert far[3, 4] == pytest.approx(50.0)
    assert np.isinf(distance_m(np.zeros((2, 2), dtype=bool), 10.0)).all()


@pytest.mark.parametrize(("wide", "is_kept"), [(1, False), (2, True), (3, True)])
def test_only_water_of_20_m_across_and_more_is_kept(wide, is_kept):
    mask = np.zeros((20, 20), dtype=bool)
    mask[5 : 5 + wide, :] = True
    kept = wide_parts(mask, 10.0, 20.0)
    assert kept.any() == is_kept
    assert not kept[~mask].any()
    if is_kept:
        assert kept[5 : 5 + wide, 5:15].all()
