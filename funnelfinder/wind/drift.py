"""Air that slides down slopes when they cool and climbs them when the sun warms them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from funnelfinder.defaults import WindSettings
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Ground
from funnelfinder.kernels import FloatArray
from funnelfinder.terrain import gradient, smoothed
from funnelfinder.wind.air import Sense

#: Drift has its full speed from this grade on, less in proportion below (judgement).
_FULL_GRADE = 0.08


@dataclass(frozen=True, kw_only=True)
class Drift:
    """Unit drift downhill on the grid: ``east``, ``north`` (rows, cols), length 0 to 1."""

    grid: Grid
    east: FloatArray
    north: FloatArray


def drift_speed_m_s(sense: Sense, settings: WindSettings) -> float:
    """Return how fast air drifts downhill; negative where it climbs [m/s]."""
    return {Sense.DOWN: settings.downslope_m_s, Sense.UP: -settings.upslope_m_s}.get(sense, 0.0)


def drift_of(ground: Ground, settings: WindSettings) -> Drift:
    """Return the drift downhill along the ground's smoothed fall line."""
    cell_m = ground.grid.cell_m
    heights = smoothed(ground.elevation_m, cell_m, settings.drift_scale_m)
    east, north = (np.nan_to_num(one) for one in gradient(heights, cell_m))
    grade = np.hypot(east, north)
    scale = -np.minimum(grade / _FULL_GRADE, 1.0) / np.where(grade > 1e-6, grade, np.inf)
    return Drift(grid=ground.grid, east=frozen(east * scale), north=frozen(north * scale))
