"""Heights at a detector's scale."""

import numpy as np
import pytest

from funnelfinder.detectors.relief import rays_m, relief_of, unit
from tests import scenes


def plane():
    """A ground that rises 0.2 m for a metre east, on 1 m cells."""
    place, grids = scenes.scene(
        height=lambda x, y: 300 + 0.2 * x, width=200, depth=100, cell_m=5.0, parts=5
    )
    return scenes.ground_of(place, grids)


def test_relief_has_the_wanted_cells_and_the_heights_of_a_plane():
    relief = relief_of(plane(), cell_m=3.0, sigma_m=3.0)
    assert relief.grid.cell_m == 3.0
    middle = np.array([[scenes.EAST_0 + 100.0, scenes.NORTH_0 + 50.0]])
    assert relief.heights_at(middle) == pytest.approx([320.0], abs=1e-3)


def test_points_of_a_mask_are_cell_centres():
    relief = relief_of(plane(), cell_m=5.0, sigma_m=0.0)
    mask = np.zeros(relief.grid.shape, dtype=bool)
    mask[0, 0] = True
    assert relief.points_of(mask).tolist() == [[scenes.EAST_0 - 97.5, scenes.NORTH_0 + 197.5]]


def test_rays_climb_as_the_plane_does():
    relief = relief_of(plane(), cell_m=5.0, sigma_m=0.0)
    middle = np.array([[scenes.EAST_0 + 100.0, scenes.NORTH_0 + 50.0]] * 2)
    got = rays_m(relief, middle, np.array([[1.0, 0.0], [0.0, 1.0]]), np.array([0.0, 10.0, 500.0]))
    assert got[:, :2] == pytest.approx(np.array([[320.0, 322.0], [320.0, 320.0]]), abs=1e-3)
    assert np.isnan(got[:, 2]).all()


def test_unit_vectors_have_length_1_and_none_stays_none():
    assert unit(np.array([[3.0, 4.0], [0.0, 0.0]])).tolist() == [[0.6, 0.8], [0.0, 0.0]]
