"""Saddles: where they are, and where none is."""

import numpy as np
import pytest

from funnelfinder.detectors.saddle import SADDLE
from tests import scenes


def found(height, *, turn_deg: float = 0.0, **more):
    """What is found on a height function of metres from the scene's middle, turned."""
    cos, sin = np.cos(np.radians(turn_deg)), np.sin(np.radians(turn_deg))

    def turned(x, y):
        u, v = x - 400.0, y - 300.0
        return height(cos * u + sin * v, cos * v - sin * u)

    place, grids = scenes.scene(height=turned, **{"cell_m": 5.0, **more})
    return SADDLE.find(scenes.ground_of(place, grids), place)


def ridge_with_dip(u, v):
    """A ridge of 40 m that dips 12 m in the middle."""
    crest = 340.0 - 12.0 * np.exp(-((u / 80.0) ** 2)) - 0.00002 * u**2
    return crest - 40.0 * (1.0 - np.exp(-((v / 120.0) ** 2)))


@pytest.mark.parametrize("turn_deg", [0, 30, 45, 90])
def test_a_dip_in_a_ridge_is_one_saddle_with_its_depth(turn_deg):
    (saddle,) = found(ridge_with_dip, turn_deg=turn_deg)
    middle = saddle.geometry.centroid
    middle = (middle.x - scenes.EAST_0 - 400, middle.y - scenes.NORTH_0 - 300)
    assert middle == pytest.approx((0, 0), abs=8)
    # It runs over the ridge, not along it.
    (x0, y0), (x1, y1) = saddle.geometry.coords
    way_deg = np.degrees(np.arctan2(y1 - y0, x1 - x0))
    assert abs((way_deg - 90 - turn_deg + 90) % 180 - 90) < 5
    # Smoothing over 8 m and the fall of the crest itself take a little of the 12 m.
    assert saddle.sizes["depth_m"] == pytest.approx(11.0, abs=1.2)
    assert saddle.words.startswith("The ridge dips 3")
    assert saddle.words.endswith("feet here, between two tops.")


def test_a_quadratic_pass_is_a_saddle():
    (saddle,) = found(lambda u, v: 300 + (u / 60) ** 2 - (v / 40) ** 2)
    assert saddle.sizes["depth_m"] > 30


@pytest.mark.parametrize(
    "height",
    [
        lambda u, v: 340 - 40 * (1 - np.exp(-((v / 120) ** 2))),
        lambda u, v: 340 - 0.0003 * (u**2 + v**2),
        lambda u, v: 300 + 0.0003 * (u**2 + v**2),
        lambda u, v: 300 + (v / 60) ** 2,
    ],
    ids=["level ridge", "peak", "pit", "valley"],
)
def test_grounds_without_a_pass_have_no_saddle(height):
    assert found(height) == []


def test_a_dip_of_two_metres_is_no_saddle():
    assert found(lambda u, v: ridge_with_dip(u, v) + 10 * np.exp(-((u / 80.0) ** 2))) == []


def test_a_small_knob_on_a_ridge_makes_no_saddle():
    def height(u, v):
        ridge = 340 - 0.02 * u - 40 * (1 - np.exp(-((v / 120) ** 2)))
        return ridge + 8 * np.exp(-((u - 100) ** 2 + v**2) / 60.0)

    assert found(height) == []


def test_low_ground_between_two_far_hills_is_no_saddle():
    def height(u, v):
        return 300 + 30 * sum(np.exp(-((u - x) ** 2 + v**2) / 5000.0) for x in (-300, 300))

    assert found(height) == []


def test_two_meter_bumps_of_a_survey_are_no_saddles():
    rng = np.random.default_rng(4)
    assert found(lambda u, v: 300 + 0.2 * u + rng.normal(0, 0.3, u.shape), parts=5) == []
