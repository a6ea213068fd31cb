"""Benches: level strips along a slope.

Worked on cells of 3 m smoothed over 3 m; the fall line is that of the slope at large.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
import shapely
from scipy import ndimage
from shapely.geometry import Polygon

from funnelfinder.detectors.outlines import outline_of
from funnelfinder.detectors.relief import Relief, rays_m, relief_of, unit
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import COARSE_ELEVATION_M, Ground
from funnelfinder.kernels import BoolArray, FloatArray
from funnelfinder.marks import Property
from funnelfinder.terrain import gradient, slope_deg, smoothed
from funnelfinder.units import said_length

#: Cells, their smoothing, and the smoothing that gives the fall line (judgement) [m].
CELL_M: Final = 3.0
SIGMA_M: Final = 3.0
BROAD_SIGMA_M: Final = 25.0
#: The strip is at most this steep, and at most this share as steep as the slope above and below
#: (common practice, no source) [deg, 1].
MOST_DEG: Final = 12.0
MOST_SHARE: Final = 0.5
#: Slope above and below is the mean over 30 m of fall line, at the steepest of these starts; the
#: first is common practice, the others reach over the widest strip [m].
STARTS_M: Final = (30.0, 45.0, 60.0)
REACH_M: Final = 30.0
#: On slopes gentler than this nobody looks for a bench (judgement) [deg].
LEAST_SLOPE_DEG: Final = 10.0
#: Width, and length against width (common practice, no source) [m, 1].
LEAST_WIDTH_M: Final = 8.0
MOST_WIDTH_M: Final = 60.0
LEAST_LONG: Final = 3.0
LEAST_LENGTH_M: Final = 50.0
#: At its widest it is no more than this many times its width, or it is no strip (judgement) [1].
MOST_UNEVEN: Final = 1.8
#: From end to end it is at least this share of its length: a bench follows the slope (judgement).
LEAST_STRETCHED: Final = 0.65
#: Along its length it climbs no more than this (judgement) [deg].
MOST_CLIMB_DEG: Final = 6.0


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the benches of a ground, none where its elevation is too coarse to show them.

    The place's marks are not needed.
    """
    del place
    if ground.elevation_cell_m > COARSE_ELEVATION_M:
        return []
    relief = relief_of(ground, cell_m=CELL_M, sigma_m=SIGMA_M)
    mask, around_deg = _level_strips(relief)
    # Single cells that are steeper or missing do not cut a strip in two.
    closed = ndimage.binary_closing(mask, structure=np.ones((3, 3), dtype=bool))
    closed = ndimage.binary_fill_holes(closed)
    labels, _ = ndimage.label(closed, structure=np.ones((3, 3), dtype=int))
    features = []
    for index, window in enumerate(ndimage.find_objects(labels), start=1):
        strip = labels[window] == index
        feature = _feature(relief, strip, window, around_deg[window])
        if feature is not None:
            features.append(feature)
    return features


def _level_strips(relief: Relief) -> tuple[BoolArray, FloatArray]:
    """Return the cells of level strips, and the slope about them [deg], NaN elsewhere."""
    cell = relief.grid.cell_m
    slope = slope_deg(relief.heights_m, cell)
    east, north = gradient(smoothed(relief.heights_m, cell, BROAD_SIGMA_M), cell)
    broad_deg = np.degrees(np.arctan(np.hypot(east, north)))
    mask = (slope <= MOST_DEG) & (broad_deg >= LEAST_SLOPE_DEG / 2)
    around = np.full(mask.shape, np.nan)
    points = relief.points_of(mask)
    if not len(points):
        return mask, around
    uphill = unit(np.stack([east[mask], north[mask]], axis=1))
    above, below = _steepest_deg(relief, points, uphill), _steepest_deg(relief, points, -uphill)
    lesser = np.minimum(above, -below)
    is_bench = (lesser >= LEAST_SLOPE_DEG) & (slope[mask] <= MOST_SHARE * lesser)
    around[mask] = np.where(is_bench, (above - below) / 2, np.nan)
    mask[mask] = is_bench
    return mask, around


def _steepest_deg(relief: Relief, points_m: FloatArray, ways: FloatArray) -> FloatArray:
    """Return the steepest mean slope away from each point, with the sign of the first [deg]."""
    near = rays_m(relief, points_m, ways, np.array(STARTS_M))
    far = rays_m(relief, points_m, ways, np.array(STARTS_M) + REACH_M)
    slopes = np.degrees(np.arctan((far - near) / REACH_M))
    slopes = np.where(np.isfinite(slopes), slopes, 0.0)
    steepest = np.abs(slopes).argmax(axis=1)
    return np.asarray(slopes[np.arange(len(slopes)), steepest])


def _feature(
    relief: Relief, strip: BoolArray, window: tuple[slice, ...], around_deg: FloatArray
) -> Feature | None:
    """Return a strip as a feature, or nothing where its size is not a bench's."""
    cell = relief.grid.cell_m
    to_edge = ndimage.distance_transform_edt(np.pad(strip, 1))[1:-1, 1:-1]
    # Over a long strip the mean distance to its edge is a quarter of its width.
    width_m = 4.0 * float((to_edge[strip] - 0.5).mean()) * cell
    length_m = float(strip.sum()) * cell**2 / width_m
    heights = relief.heights_m[window][strip]
    climb_m = float(np.subtract(*np.nanpercentile(heights, [95, 5])))
    if not LEAST_WIDTH_M <= width_m <= MOST_WIDTH_M:
        return None
    if 2 * to_edge.max() * cell > MOST_UNEVEN * width_m:
        return None
    if length_m < max(LEAST_LONG * width_m, LEAST_LENGTH_M):
        return None
    if climb_m > math.tan(math.radians(MOST_CLIMB_DEG)) * length_m:
        return None
    outline = outline_of(strip, relief.grid, window)
    if _end_to_end_m(outline) < LEAST_STRETCHED * length_m:
        return None
    slope = float(np.nanmedian(around_deg[strip]))
    return Feature(
        kind="bench",
        geometry=outline,
        sizes={"width_m": width_m, "length_m": length_m, "slope_deg": slope},
        words=f"A level strip {said_length(width_m)} wide on a slope of {slope:.0f}°.",
    )


def _end_to_end_m(outline: Polygon) -> float:
    """Return the longer side of the box about an outline [m]."""
    corners = shapely.get_coordinates(outline.minimum_rotated_rectangle)
    return float(np.linalg.norm(np.diff(corners, axis=0), axis=1).max())


BENCH: Final = Detector(
    name="bench",
    words="A level strip along a slope, at most half as steep as the ground above and below.",
    source="common practice, no source",
    find=find,
)
