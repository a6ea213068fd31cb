"""Which drawn trips walk into a hunter's scent before they come within reach."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from funnelfinder.defaults import WindSettings
from funnelfinder.kernels import AnyArray, FloatArray, IntArray
from funnelfinder.kernels.scent import (
    BRIGGS,
    alerted_parts,
    plume,
    reach_points,
    scent_mask,
    sigmas,
)
from funnelfinder.trips import DrawnTrips
from funnelfinder.units import YARD_M
from funnelfinder.wind.air import CALM_M_S, Air
from funnelfinder.wind.drift import Drift, drift_speed_m_s
from funnelfinder.wind.stability import Stability

#: No scent beyond this [m].
FAR_M: Final = 500 * YARD_M
#: Side of the cells on which scent is laid, and least speed that carries it [m], [m/s].
CELL_M: Final = 5.0
SLOW_M_S: Final = 0.5
#: Points of walks are no farther apart than this [m].
_STEP_M: Final = 8.0


def threshold_s_m3(settings: WindSettings) -> float:
    """Return C/Q above which deer smell a person [s/m³].

    It is the axis value of a release at the ground in class D at 3 m/s, at the cut distance.

    Examples
    --------
    >>> round(threshold_s_m3(WindSettings()), 5)
    0.0005
    """
    s_y, s_z = sigmas(settings.scent_cut_m, BRIGGS[Stability.D])
    return float(plume(0.0, 0.0, 0.0, 3.0, s_y, s_z))


@dataclass(frozen=True, kw_only=True)
class Walks:
    """Drawn trips with points close together.

    Parameters
    ----------
    points_m : (n, 2) float64
        All points of all trips from bed to food [m].
    walked_m : (n,) float64
        Length walked from the bed to each point [m].
    first : (trips + 1,) int64
        Where each trip begins.
    weight : (trips,) float64
        Share of all trips that each stands for.
    """

    points_m: FloatArray
    walked_m: FloatArray
    first: IntArray
    weight: FloatArray

    def within(self, places_m: FloatArray, reach_m: float) -> tuple[IntArray, IntArray]:
        """Return the first and last point of each trip within reach of any place, -1 if none."""
        places = np.ascontiguousarray(np.asarray(places_m, dtype=np.float64).reshape(-1, 2))
        begin, end = reach_points(places, self.points_m, self.first, float(reach_m))
        return begin, end


def walks_of(drawn: DrawnTrips) -> Walks:
    """Return drawn trips with points at most a few metres apart, and the length walked."""
    points = drawn.points_m
    steps = np.hypot(*np.diff(points, axis=0).T)
    is_last = np.zeros(len(points), dtype=bool)
    is_last[drawn.first[1:] - 1] = True
    steps = np.where(is_last[:-1], 0.0, steps)
    parts = np.append(np.maximum(np.ceil(steps / _STEP_M), 1).astype(np.int64), 1)
    parts[is_last] = 1
    start = np.concatenate(([0], np.cumsum(parts)))
    index = np.repeat(np.arange(len(points)), parts)
    share = (np.arange(start[-1]) - start[index]) / parts[index]
    after = np.minimum(index + 1, len(points) - 1)
    dense = points[index] + share[:, None] * (points[after] - points[index])
    run = np.concatenate(([0.0], np.cumsum(steps)))
    begun = np.repeat(run[drawn.first[:-1]], np.diff(drawn.first))
    walked = (run - begun)[index] + share * np.append(steps, 0.0)[index]
    return Walks(
        points_m=np.ascontiguousarray(dense),
        walked_m=walked,
        first=start[drawn.first].astype(np.int64),
        weight=drawn.weight,
    )


def scent_bits(
    source_m: tuple[float, float],
    air: Air,
    drift: Drift,
    settings: WindSettings,
    *,
    heights_m: Sequence[float],
    grid_turn_deg: float = 0.0,
) -> AnyArray:
    """Return where each direction of the wind carries scent, as bits about the source.

    Parameters
    ----------
    source_m : (x_m, y_m)
        Where the person is [m].
    air : Air
        The air of the hour.
    drift : Drift
        Drift on the ground's slopes.
    settings : WindSettings
        Cut distance, nose height, drift speeds.
    heights_m : sequence of float
        Heights of release; the worst counts [m].
    grid_turn_deg : float
        True bearing of the map's north [deg].
    """
    to_rad = math.radians(0.0 if math.isnan(air.from_deg) else air.from_deg - grid_turn_deg)
    slide, speed = drift_speed_m_s(air.sense, settings), air.speed_m_s
    if math.isinf(air.spread_deg):
        slide, speed = 0.0, max(speed, SLOW_M_S)
    elif speed < CALM_M_S:
        speed = 0.0
    grid = drift.grid
    return np.asarray(
        scent_mask(
            float(source_m[0]),
            float(source_m[1]),
            -speed * math.sin(to_rad),
            -speed * math.cos(to_rad),
            air.turns_rad,
            drift.east,
            drift.north,
            slide,
            np.array([grid.west_m, grid.north_m, grid.cell_m]),
            BRIGGS[air.stability],
            np.array(heights_m, dtype=np.float64),
            settings.nose_height_m,
            np.array([threshold_s_m3(settings), FAR_M, CELL_M, SLOW_M_S]),
        )
    )


def scented_parts(
    source_m: tuple[float, float],
    bits: AnyArray,
    walks: Walks,
    within: tuple[IntArray, IntArray],
    n_turns: int,
    *,
    is_morning: bool,
) -> tuple[FloatArray, FloatArray]:
    """Return for each trip the part of the wind's directions that carry scent into its way.

    Only points before the trip comes within reach count; of a trip that never comes, all do. In
    the morning trips run the other way, so that the points after the last within reach come first.

    Parameters
    ----------
    source_m : (x_m, y_m)
        Where the person is [m].
    bits : (2n, 2n) uint64
        From `scent_bits`.
    walks : Walks
        The trips.
    within : pair of (trips,) int64
        From `Walks.within`.
    n_turns : int
        Number of directions in the bits.
    is_morning : bool
        Whether trips run to the bed.

    Returns
    -------
    parts : (trips,) float64
        Part of the wind's directions.
    walked_m : (trips,) float64
        Length between the bed and the first point in scent; NaN where none is [m].
    """
    starts, ends = walks.first[:-1], walks.first[1:]
    if is_morning:
        starts = np.where(within[1] < 0, starts, within[1] + 1)
    else:
        ends = np.where(within[0] < 0, ends, within[0])
    parts, lowest, highest = alerted_parts(
        walks.points_m, walks.first, starts, ends, bits, *source_m, CELL_M, n_turns
    )
    met = highest if is_morning else lowest
    return parts, np.where(met < 0, np.nan, walks.walked_m[met])
