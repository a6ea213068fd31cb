"""Cover without specks."""

import numpy as np
import pytest

from funnelfinder.detectors.cover import cover_of
from tests import scenes

OPEN, WOODS = 82, 41


def cover(codes):
    """The cover of a scene of 5 m cells, south-west corner first."""
    place, grids = scenes.scene(cover=codes, cell_m=5.0)
    return cover_of(scenes.ground_of(place, grids))


def square(x, y, half):
    """Within a square about the scene's middle."""
    return (np.abs(x - 400) < half) & (np.abs(y - 300) < half)


@pytest.mark.parametrize(("half", "is_filled"), [(20.0, True), (25.0, False)])
def test_openings_below_2000_square_metres_are_filled(half, is_filled):
    got = cover(lambda x, y: np.where(square(x, y, half), OPEN, WOODS))
    assert got.all() == is_filled


@pytest.mark.parametrize(("half", "is_dropped"), [(15.0, True), (20.0, False)])
def test_patches_below_1000_square_metres_are_dropped(half, is_dropped):
    got = cover(lambda x, y: np.where(square(x, y, half), WOODS, OPEN))
    assert got.any() != is_dropped


def test_water_is_never_filled():
    got = cover(lambda x, y: np.where(square(x, y, 15.0), 11, WOODS))
    assert not got.all()


def test_specks_at_the_rim_are_kept_for_they_may_go_on_beyond():
    assert not cover(lambda x, y: np.where(x < -90, OPEN, WOODS)).all()
