"""What a step costs, in metres of best ground: cover, exposure, people, and the slope."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from funnelfinder.barriers import Barrier
from funnelfinder.defaults import CostSettings, Pressure
from funnelfinder.grid import Grid, frozen
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.land_cover import CoverTable
from funnelfinder.terrain import gradient

#: Share of m·g·h in kcal per kg and km: 9.807 J/m / 4184 J/kcal · 1000 m.
LIFT_KCAL_KG_KM = 2.344


@dataclass(frozen=True, kw_only=True)
class CostSurface:
    """What moving costs on the travel grid.

    A step of map length l along the unit vector u costs ``cost · l · √(1 + (e² − 1)(u·g)²)``
    metres of best ground, g the fall line and e the slope factor.

    Parameters
    ----------
    grid : Grid
        The travel grid.
    cost : (rows, cols) float64
        Cost per metre, at least 1; NaN where the cell is removed.
    slope_factor : (rows, cols) float64
        How many times dearer a step straight up or down is (mean of both); 1 on level ground.
    fall_east, fall_north : (rows, cols) float64
        Unit vector of the fall line; 0 where it is level.
    is_removed : (rows, cols) bool
        Cells out of the way of trips.
    barriers : tuple of Barrier
        Lines that cost something to cross.
    """

    grid: Grid
    cost: FloatArray
    slope_factor: FloatArray
    fall_east: FloatArray
    fall_north: FloatArray
    is_removed: BoolArray
    barriers: tuple[Barrier, ...]


def slope_factor(slope_deg: FloatArray, costs: CostSettings) -> FloatArray:
    """Return how many times dearer a step along the fall line is per metre of map, up and down.

    Parameters
    ----------
    slope_deg : float64 array
        Slope [deg].
    costs : CostSettings
        Energies of climbing and level walking, and the share that descent gives back.

    References
    ----------
    .. [1] K. L. Parker, C. T. Robbins, T. A. Hanley, "Energy expenditures for locomotion by mule
       deer and elk", J. Wildl. Manage. 48, 474-488, 1984.

    Examples
    --------
    >>> float(slope_factor(np.array(10.0), CostSettings(descent_share=0.0)).round(3))
    1.738
    """
    angle = np.radians(slope_deg)
    climb = (costs.climb_kcal_kg_km - LIFT_KCAL_KG_KM * costs.descent_share) * np.sin(angle)
    return np.asarray((1.0 + climb / (2.0 * costs.level_kcal_kg_km)) / np.cos(angle))


def exposure_strength(costs: CostSettings, *, is_night: bool = False) -> float:
    """Return the extra cost far out in the open under the chosen pressure."""
    by_pressure = {
        Pressure.LIGHT: costs.exposure_light,
        Pressure.MODERATE: costs.exposure_moderate,
        Pressure.HEAVY: costs.exposure_heavy,
    }
    return by_pressure[costs.pressure] * (costs.night_share if is_night else 1.0)


def cost_surface(
    ground: Ground,
    costs: CostSettings,
    *,
    table: CoverTable | None = None,
    barriers: tuple[Barrier, ...] | None = None,
    is_night: bool = False,
) -> CostSurface:
    """Return the cost surface of a ground.

    Parameters
    ----------
    ground : Ground
        The aligned arrays.
    costs : CostSettings
        Strengths and lengths.
    table : CoverTable, optional
        Costs by class in place of the ground's own.
    barriers : tuple of Barrier, optional
        Lines in place of the ground's own.
    is_night : bool
        Whether the open exposes deer as little as at night.
    """
    resistance = (table or ground.cover_table).resistance(ground.cover)
    resistance = np.where(_is_unknown(ground), costs.hole_resistance, resistance)
    strength = exposure_strength(costs, is_night=is_night)
    far = 1.0 - np.exp(-ground.to_woody_m / costs.exposure_length_m)
    exposure = np.where(ground.is_open, 1.0 + strength * far, 1.0)
    cost = resistance * exposure * _people(ground, costs)
    east, north = gradient(ground.elevation_m, ground.grid.cell_m)
    steepness = np.hypot(east, north)
    level = ~(steepness > 0)
    safe = np.where(level, 1.0, steepness)
    factor = np.where(level, 1.0, slope_factor(np.nan_to_num(ground.slope_deg), costs))
    return CostSurface(
        grid=ground.grid,
        cost=frozen(np.where(ground.is_removed, np.nan, cost)),
        slope_factor=frozen(factor),
        fall_east=frozen(np.where(level, 0.0, east / safe)),
        fall_north=frozen(np.where(level, 0.0, north / safe)),
        is_removed=ground.is_removed,
        barriers=ground.barriers if barriers is None else barriers,
    )


def _is_unknown(ground: Ground) -> BoolArray:
    """Return where the land cover says nothing."""
    table = ground.cover_table
    return np.asarray(table.is_kind(ground.cover, "hole") | ~table.is_kind(ground.cover, "known"))


def _people(ground: Ground, costs: CostSettings) -> FloatArray:
    """Return the factor for the nearness of people; the larger of houses and roads counts."""
    to_people = np.minimum(ground.to_house_m, ground.to_built_m)
    houses = costs.house_strength * np.exp(-to_people / costs.people_length_m)
    roads = costs.road_strength * np.exp(-ground.to_road_m / costs.people_length_m)
    return np.asarray(1.0 + np.maximum(houses, roads))


def even_surface(surface: CostSurface) -> CostSurface:
    """Return even ground over the same extent: cost 1, no slope, no lines, nothing removed."""
    shape = surface.grid.shape
    return CostSurface(
        grid=surface.grid,
        cost=frozen(np.ones(shape)),
        slope_factor=frozen(np.ones(shape)),
        fall_east=frozen(np.zeros(shape)),
        fall_north=frozen(np.zeros(shape)),
        is_removed=frozen(np.zeros(shape, dtype=bool)),
        barriers=(),
    )
