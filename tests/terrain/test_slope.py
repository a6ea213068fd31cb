"""Slope and fall line on grounds whose answer is plain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.terrain import aspect_deg, gradient, slope_deg


def plane(east: float, north: float, n: int = 7, cell_m: float = 5.0) -> np.ndarray:
    """A plane that rises so much for each metre east and north."""
    steps = np.arange(n) * cell_m
    x, y = np.meshgrid(steps, -steps)
    return 300.0 + east * x + north * y


@given(east=st.floats(-2, 2), north=st.floats(-2, 2))
def test_a_plane_has_its_own_gradient_everywhere(east, north):
    got = gradient(plane(east, north), 5.0)
    assert got[0][1:-1, 1:-1] == pytest.approx(east, abs=1e-9)
    assert got[1][1:-1, 1:-1] == pytest.approx(north, abs=1e-9)


def test_level_ground_has_no_bearing():
    assert np.isnan(aspect_deg(plane(0.0, 0.0), 5.0)).all()
    assert slope_deg(plane(0.0, 0.0), 5.0)[3, 3] == 0.0


def test_a_hole_is_a_hole_in_its_nine_cells_and_the_border_has_none():
    z = plane(0.2, 0.1)
    z[3, 3] = np.nan
    slope = slope_deg(z, 5.0)
    assert np.isnan(slope[2:5, 2:5]).all()
    assert np.isnan(slope[0]).all()
    assert np.isnan(slope[:, -1]).all()
    assert np.isfinite(slope[1, 1])


def test_a_grid_too_small_for_a_window_is_all_hole():
    assert np.isnan(slope_deg(np.zeros((2, 5)), 5.0)).all()
