"""Which cells a property is computed on."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from funnelfinder.defaults import with_setting
from funnelfinder.errors import GridError
from funnelfinder.ground import subdivided, travel_cell_m, travel_grid
from funnelfinder.ground.extent import MOST_FINE_CELLS, fine_grid
from tests import scenes


def square(side_m: float, **settings: str):
    place, _ = scenes.scene(settings={"travel-cell": "0", "surround": "800", **settings})
    outline = shapely.box(4e5, 4e6, 4e5 + side_m, 4e6 + side_m)
    return replace(place, boundary=shapely.MultiPolygon([outline]))


@pytest.mark.parametrize(
    ("side_m", "cell_m"),
    # 160 acres: 804.672 m square; 640 acres: 1609.344 m; 10,000 acres: 6361.5 m.
    [(20.0, 5.0), (804.672, 5.0), (1609.344, 5.0), (6361.5, 10.0)],
)
def test_cells_of_5_m_as_long_as_they_fit_then_of_10_m(side_m, cell_m):
    place = square(side_m)
    assert travel_cell_m(place) == cell_m
    grid = travel_grid(place)
    assert grid.cell_m == cell_m
    assert grid.bounds_m[0] <= 4e5 - 800
    assert grid.bounds_m[3] >= 4e6 + side_m + 800


def test_more_than_40000_acres_need_a_cell_size_which_is_told():
    place = square(36_000.0)
    with pytest.raises(
        GridError, match=r"acres are more than .* Check the boundary, or set"
    ) as told:
        travel_cell_m(place)
    cell = told.value.remedy.rpartition("travel-cell to ")[2].split()[0]
    fitting = with_setting(place.settings, "travel-cell", cell)
    assert travel_cell_m(replace(place, settings=fitting)) == float(cell)


def test_cells_too_small_for_the_ground_are_refused():
    with pytest.raises(GridError, match="travel-cell"):
        travel_cell_m(square(6000.0, **{"travel-cell": "1"}))


@pytest.mark.parametrize(("source_m", "fine_m"), [(1.0, 1.0), (3.0, 2.5), (10.0, 5.0), (30.0, 5.0)])
def test_fine_cells_divide_travel_cells_and_are_not_finer_than_the_file(source_m, fine_m):
    place = square(800.0)
    assert fine_grid(place, source_m).cell_m == fine_m
    assert fine_grid(place, source_m).bounds_m == travel_grid(place).bounds_m


def test_fine_cells_are_coarsened_beyond_what_is_kept():
    place = square(6361.5)
    grid = fine_grid(place, 1.0)
    assert grid.n_cells <= MOST_FINE_CELLS
    assert grid.cell_m > 1.0


def test_a_divided_grid_has_the_same_extent():
    grid = travel_grid(square(300.0))
    fine = subdivided(grid, 5)
    assert fine.bounds_m == grid.bounds_m
    assert fine.n_cells == 25 * grid.n_cells
