"""Outlines of cells."""

import numpy as np
import pytest

from funnelfinder.detectors.outlines import outline_of, plain_rings, polygons_of
from funnelfinder.grid import Grid

GRID = Grid(epsg=32617, west_m=1000.0, north_m=2000.0, cell_m=5.0, n_rows=40, n_cols=40)


def test_a_block_of_cells_has_its_corners_on_cell_edges():
    mask = np.zeros(GRID.shape, dtype=bool)
    mask[2:4, 3:7] = True
    (polygon,) = polygons_of(mask, GRID)
    assert polygon.bounds == (1015.0, 1980.0, 1035.0, 1990.0)


def test_a_hole_is_a_ring_of_its_own():
    mask = np.ones(GRID.shape, dtype=bool)
    mask[10:20, 10:20] = False
    (polygon,) = polygons_of(mask, GRID)
    assert polygon.area == pytest.approx(40_000 - 2_500)
    assert len(plain_rings(polygon, 1.0)) == 2


def test_part_of_a_grid_lies_where_it_was_cut_from():
    strip = np.ones((2, 3), dtype=bool)
    outline = outline_of(strip, GRID, (slice(5, 7), slice(8, 11)))
    assert outline.bounds == (1040.0, 1965.0, 1055.0, 1975.0)


@pytest.mark.parametrize("slant", [0.3, 0.577, 1.0])
def test_a_slanting_edge_has_its_own_length_not_that_of_its_staircase(slant):
    rows, cols = np.indices(GRID.shape)
    (polygon,) = polygons_of(cols * slant > rows, GRID)
    (ring,) = plain_rings(polygon, GRID.cell_m)
    legs = (200.0, 200.0 * slant)
    assert polygon.exterior.length == pytest.approx(2 * sum(legs), rel=0.05)
    assert ring.length == pytest.approx(sum(legs) + np.hypot(*legs), rel=0.05)
