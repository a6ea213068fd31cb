"""The entries of coverages; what the tiles hold is tested with the grids."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.files.property_file.coverages import coverage_of, coverage_row
from funnelfinder.grid import Grid

GRID = Grid(epsg=32617, west_m=400_000.0, north_m=4_300_000.0, cell_m=2.5, n_rows=3, n_cols=4)


@pytest.mark.parametrize(
    ("given", "kept_as"),
    [("float64", "float32"), ("float32", "float32"), ("int64", "uint8"), ("bool", "uint8")],
)
def test_an_entry_gives_back_its_cells_and_says_how_values_are_kept(given, kept_as):
    values = np.zeros(GRID.shape, dtype=given)
    entry = coverage_of("elevation", GRID, values, source="north.tif", source_cell_m=1.0)
    assert entry.grid == GRID
    assert entry.kept_as == kept_as
    row = coverage_row(entry).values
    assert row["name"] == "elevation"
    assert row["source"] == "north.tif"
    assert row["west_m"] == 400_000.0
