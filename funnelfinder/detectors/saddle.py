"""Saddles: the low place of a ridge, between two tops.

Worked on cells of 5 m smoothed over 8 m, so that lidar bumps make none.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely

from funnelfinder.detectors.relief import Relief, rays_m, relief_of
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.terrain import Pass, SurfaceForm, fitted_quadratics, passes, surface_forms
from funnelfinder.units import said_height

#: Cells and smoothing (judgement) [m].
CELL_M: Final = 5.0
SIGMA_M: Final = 8.0
#: The lower of the two tops rises at least this far above the saddle (judgement) [m].
LEAST_DEPTH_M: Final = 3.0
#: A knob less far across than this is walked round; its saddle leads nobody (judgement) [m].
LEAST_HILL_M: Final = 40.0
#: Half the window of the fitted surface, which must be a pass (judgement) [m].
FIT_RADIUS_M: Final = 40.0
#: Up to this slope of the fitted surface a place can be a pass (judgement) [deg].
LEVEL_DEG: Final = 6.0
#: Curvature beyond which the fitted surface bends: 0.2 m over the window's half (judgement) [1/m].
BENT_PER_M: Final = 2.5e-4
#: On both sides the ground falls by the least depth within this distance, or there is no ridge
#: to cross (judgement) [m].
FLANK_M: Final = 150.0
#: The feature is the way over, this far on both sides of the lowest place (judgement) [m].
HALF_M: Final = 30.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the saddles of a ground; the place's marks are not needed."""
    del place
    relief = relief_of(ground, cell_m=CELL_M, sigma_m=SIGMA_M)
    cell = relief.grid.cell_m
    least_cells = math.ceil(math.pi * (LEAST_HILL_M / 2) ** 2 / cell**2)
    found = passes(relief.heights_m, least_depth_m=LEAST_DEPTH_M, least_cells=least_cells)
    if not found:
        return []
    fit = fitted_quadratics(relief.heights_m, cell, FIT_RADIUS_M)
    forms = surface_forms(fit, level_deg=LEVEL_DEG, straight_per_m=BENT_PER_M)
    rows = np.array([one.row for one in found])
    cols = np.array([one.col for one in found])
    bend = np.stack([fit.a[rows, cols], fit.b[rows, cols], fit.c[rows, cols]], axis=1)
    is_pass = (forms[rows, cols] == SurfaceForm.PASS) & np.isfinite(bend).all(axis=1)
    points = relief.grid.points_m(rows, cols)
    ways = [_way_over(one) if is_good else None for one, is_good in zip(bend, is_pass, strict=True)]
    return [
        _feature(one, point, way)
        for one, point, way in zip(found, points, ways, strict=True)
        if way is not None and _is_ridge(relief, point, way)
    ]


def _way_over(bend: FloatArray) -> FloatArray:
    """Return the way over a pass, where its surface bends down, as a unit vector."""
    a, b, c = bend
    values, axes = np.linalg.eigh(np.array([[2 * a, c], [c, 2 * b]]))
    return np.asarray(axes[:, int(np.argmin(values))])


def _is_ridge(relief: Relief, point_m: FloatArray, down: FloatArray) -> bool:
    """Return whether the ground falls on both sides of the way over."""
    steps = np.arange(relief.grid.cell_m, FLANK_M + 1.0, relief.grid.cell_m)
    heights = rays_m(relief, np.stack([point_m, point_m]), np.stack([down, -down]), steps)
    level = relief.heights_at(point_m[None, :])[0]
    lowest = np.where(np.isfinite(heights), heights, np.inf).min(axis=1)
    return bool((lowest <= level - LEAST_DEPTH_M).all())


def _feature(one: Pass, point_m: FloatArray, way: FloatArray) -> Feature:
    """Return the saddle as the middle of the way over it."""
    return Feature(
        kind="saddle",
        geometry=shapely.LineString([point_m - HALF_M * way, point_m + HALF_M * way]),
        sizes={"depth_m": one.depth_m},
        words=f"The ridge dips {said_height(one.depth_m)} here, between two tops.",
    )


SADDLE: Final = Detector(
    name="saddle",
    words="The low place of a ridge between two tops, where crossing costs the least climb.",
    source="passes by persistence, Edelsbrunner et al. 2002; fitted pass, Wood 1996; sizes are "
    "judgement",
    find=find,
)
