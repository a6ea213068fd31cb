"""Air drifts down the fall line when slopes cool, up it when the sun warms them."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.defaults import WindSettings
from funnelfinder.wind.air import Sense
from funnelfinder.wind.drift import drift_of, drift_speed_m_s
from tests import scenes


def tilted(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Ground that falls 20 m on 100 m towards the east."""
    return 500.0 - 0.2 * x


def hollow(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A hollow that falls to the south, its bottom at x = 400."""
    return 300.0 + 0.1 * y + 0.15 * np.abs(x - 400.0)


def middle(values: np.ndarray) -> float:
    return float(values[values.shape[0] // 2, values.shape[1] // 2])


def test_air_slides_down_an_even_slope_and_climbs_it_in_the_sun() -> None:
    drift = drift_of(scenes.ground_of(*scenes.scene(height=tilted)), WindSettings())
    settings = WindSettings()
    assert middle(drift.east) == pytest.approx(1.0)
    assert middle(drift.north) == pytest.approx(0.0, abs=1e-6)
    assert drift_speed_m_s(Sense.DOWN, settings) == settings.downslope_m_s
    assert drift_speed_m_s(Sense.UP, settings) == -settings.upslope_m_s
    assert drift_speed_m_s(Sense.TURNING, settings) == drift_speed_m_s(Sense.NONE, settings) == 0


def test_level_ground_has_no_drift() -> None:
    drift = drift_of(scenes.ground_of(*scenes.scene()), WindSettings())
    assert np.abs(drift.east).max() == 0.0
    assert np.abs(drift.north).max() == 0.0


def test_a_calm_night_drains_down_the_hollow() -> None:
    ground = scenes.ground_of(*scenes.scene(height=hollow))
    drift = drift_of(ground, WindSettings())
    east, north = drift.east, drift.north
    rows, cols = np.indices(ground.grid.shape)
    x = (ground.grid.points_m(rows, cols) - scenes.corner(400, 0))[:, 0].reshape(rows.shape)
    inner = (slice(20, -20), slice(15, -15))
    towards = np.sign(x[inner]) * east[inner]
    beside = np.abs(x[inner]) > 120.0
    assert (towards[beside] < 0).all()
    assert (north[inner] < 0).all()
