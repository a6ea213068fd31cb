"""Kept rasters on the cells of a travel grid."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.errors import GridError
from funnelfinder.grid import Grid
from funnelfinder.ground import Raster
from funnelfinder.ground.kept import majority_on, mean_on


def raster_of(values, cell_m: float, *, west_m: float = 0.0, north_m: float = 20.0) -> Raster:
    values = np.asarray(values)
    grid = Grid(
        epsg=32617,
        west_m=west_m,
        north_m=north_m,
        cell_m=cell_m,
        n_rows=values.shape[0],
        n_cols=values.shape[1],
    )
    return Raster(grid=grid, values=values, source="kept.tif", source_cell_m=cell_m)


TRAVEL = Grid(epsg=32617, west_m=0.0, north_m=20.0, cell_m=10.0, n_rows=2, n_cols=2)


def test_heights_are_means_and_a_hole_only_where_all_is_hole():
    fine = np.arange(16.0).reshape(4, 4)
    fine[0, 0] = np.nan
    fine[2:, 2:] = np.nan
    means = mean_on(raster_of(fine, 5.0), TRAVEL)
    np.testing.assert_allclose(means, [[(1 + 4 + 5) / 3, 4.5], [10.5, np.nan]])


def test_a_class_is_that_of_most_cells_and_never_a_mean():
    codes = np.array([[41, 41, 82, 82], [41, 82, 82, 11], [41, 11, 11, 11], [41, 41, 11, 41]])
    np.testing.assert_array_equal(
        majority_on(raster_of(codes.astype(np.uint8), 5.0), TRAVEL), [[41, 82], [41, 11]]
    )


def test_coarser_cover_gives_the_class_at_each_middle():
    codes = np.array([[41, 82]], dtype=np.uint8)
    coarse = raster_of(codes, 30.0, west_m=-5.0, north_m=25.0)
    np.testing.assert_array_equal(majority_on(coarse, TRAVEL), [[41, 41], [41, 41]])
    coarse = raster_of(codes, 30.0, west_m=-20.0, north_m=25.0)
    np.testing.assert_array_equal(majority_on(coarse, TRAVEL), [[41, 82], [41, 82]])


def test_a_raster_of_another_extent_is_refused():
    for wrong in (
        raster_of(np.zeros((4, 4)), 3.0),
        raster_of(np.zeros((4, 4)), 5.0, west_m=2.0),
        raster_of(np.zeros((4, 4)), 5.0, west_m=500.0),
    ):
        with pytest.raises(GridError, match=r"kept\.tif"):
            mean_on(wrong, TRAVEL)
    far = raster_of(np.full((1, 1), 41, dtype=np.uint8), 30.0, west_m=900.0)
    with pytest.raises(GridError, match="does not reach"):
        majority_on(far, TRAVEL)
