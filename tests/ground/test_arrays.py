"""The data classes of the ground check what they hold."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.errors import GridError
from funnelfinder.ground import Patch, Raster
from funnelfinder.marks import MarkKind
from tests import scenes


def test_values_must_fit_the_cells():
    grid = scenes.scene()[1].cover.grid
    with pytest.raises(GridError, match=r"north\.tif"):
        Raster(grid=grid, values=np.zeros((2, 2)), source="north.tif", source_cell_m=10.0)
    kept = Raster(grid=grid, values=np.zeros(grid.shape), source="a", source_cell_m=10.0)
    assert kept.values.shape == grid.shape


def test_a_patch_is_called_what_the_person_calls_it():
    named = scenes.mark(MarkKind.BED, scenes.disc(0, 0), "Willow point")
    bare = scenes.mark(MarkKind.BED, scenes.disc(0, 0))
    cells = np.array([1, 2])
    assert Patch(mark=named, cells=cells).label == "Willow point"
    assert Patch(mark=bare, cells=cells).label == "bed"
