"""Crossings: marked ones, and places where the banks of a marked creek are low on both sides.

Banks are measured on the finest elevation, where its cells are 3 m or less.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np
import shapely
from scipy import ndimage
from shapely.ops import substring

from funnelfinder.barriers import Barrier
from funnelfinder.detectors.relief import Relief, rays_m, relief_of, unit
from funnelfinder.features import Detector, Feature
from funnelfinder.ground import Ground
from funnelfinder.kernels import BoolArray, FloatArray, IntArray
from funnelfinder.marks import MarkKind, Property
from funnelfinder.units import FOOT_M, said_length

#: Elevation coarser than this shows no banks (judgement) [m].
COARSEST_M: Final = 3.0
SIGMA_M: Final = 1.0
#: Steps along the creek, and across it as far as a bank can lie (judgement) [m].
STEP_M: Final = 3.0
BANK_REACH_M: Final = 12.0
#: A bank is low up to this height and slope (common practice, no source) [m, deg].
LOW_M: Final = 0.6
LOW_DEG: Final = 25.0
#: It is a crossing only if the banks are this high on both sides of it along the creek, within
#: this distance; a creek low all along can be crossed anywhere (judgement) [m].
HIGH_M: Final = 1.0
HIGH_WITHIN_M: Final = 60.0
#: The low place is at least and at most this long (judgement) [m].
LEAST_LENGTH_M: Final = 5.0
MOST_LENGTH_M: Final = 60.0
CROSSED: Final = (MarkKind.CREEK, MarkKind.DITCH)


def find(ground: Ground, place: Property) -> list[Feature]:
    """Return the marked crossings and the low banks of marked creeks."""
    del place
    found = [one for line in ground.barriers if line.kind in CROSSED for one in _marked(line)]
    creeks = [one for one in ground.barriers if one.kind is MarkKind.CREEK]
    if not creeks or ground.fine_grid.cell_m > COARSEST_M:
        return found
    relief = relief_of(ground, cell_m=ground.fine_grid.cell_m, sigma_m=SIGMA_M)
    marked = shapely.union_all([one.geometry for one in found])
    low = [feature for creek in creeks for feature in _low_banks(relief, creek)]
    return found + [
        one for one in low if marked.is_empty or marked.distance(one.geometry) > HIGH_WITHIN_M / 2
    ]


def _marked(line: Barrier) -> Iterator[Feature]:
    """Yield the crossings that the person marked on a creek or ditch."""
    whole = line.line
    word, n = line.kind.value, len(line.gaps_m)
    for start_m, end_m in line.gaps_m:
        count = "one crossing" if n == 1 else f"{n} crossings"
        yield Feature(
            kind="crossing",
            geometry=substring(whole, max(start_m, 0.0), min(end_m, whole.length)),
            sizes={"width_m": end_m - start_m, "along_m": whole.length},
            words=f"The {word} has {count} in {said_length(whole.length)}.",
        )


def _low_banks(relief: Relief, creek: Barrier) -> Iterator[Feature]:
    """Yield the places where both banks of a creek are low, between higher ones."""
    line = creek.line
    n = max(round(line.length / STEP_M), 2)
    at_m = (np.arange(n) + 0.5) * line.length / n
    height_m, slope_deg = _banks(relief, line, at_m)
    is_low = (height_m <= LOW_M) & (slope_deg <= LOW_DEG)
    labels, count = ndimage.label(is_low)
    for index in range(1, count + 1):
        run = np.flatnonzero(labels == index)
        length_m = len(run) * line.length / n
        if LEAST_LENGTH_M <= length_m <= MOST_LENGTH_M and _is_between_high(run, at_m, height_m):
            lowest = float(height_m[run].mean())
            yield Feature(
                kind="crossing",
                geometry=substring(line, at_m[run[0]], at_m[run[-1]]),
                sizes={"length_m": length_m, "bank_m": lowest},
                words=f"The creek's banks are low here, {lowest / FOOT_M:.1f} feet, for "
                f"{said_length(length_m)}.",
            )


def _banks(relief: Relief, line: shapely.LineString, at_m: FloatArray) -> tuple[FloatArray, ...]:
    """Return the height of the higher bank above the bed and its steepest slope [m], [deg]."""
    points = shapely.get_coordinates(shapely.line_interpolate_point(line, at_m))
    ahead = shapely.get_coordinates(shapely.line_interpolate_point(line, at_m + STEP_M / 2))
    behind = shapely.get_coordinates(
        shapely.line_interpolate_point(line, np.maximum(at_m - STEP_M / 2, 0.0))
    )
    way = unit(ahead - behind)
    across = np.stack([-way[:, 1], way[:, 0]], axis=1)
    steps = np.arange(0.0, BANK_REACH_M + 1e-9, relief.grid.cell_m)
    sides = [rays_m(relief, points, sign * across, steps) for sign in (1.0, -1.0)]
    bed = np.minimum(sides[0][:, :3].min(axis=1), sides[1][:, :3].min(axis=1))
    height = np.maximum(*[_bank_top_m(side) for side in sides]) - bed
    steepest = np.maximum(*[np.abs(np.diff(side, axis=1)).max(axis=1) for side in sides])
    slope = np.degrees(np.arctan(steepest / relief.grid.cell_m))
    return np.where(np.isfinite(height), height, np.inf), np.where(
        np.isfinite(slope), slope, np.inf
    )


def _bank_top_m(side: FloatArray) -> FloatArray:
    """Return the height of a bank's top on each profile."""
    return np.asarray(side.max(axis=1))


def _is_between_high(run: IntArray, at_m: FloatArray, height_m: FloatArray) -> bool:
    """Return whether the banks are high within reach on both sides along the creek."""
    high: BoolArray = np.isfinite(height_m) & (height_m >= HIGH_M)
    before = high & (at_m < at_m[run[0]]) & (at_m >= at_m[run[0]] - HIGH_WITHIN_M)
    after = high & (at_m > at_m[run[-1]]) & (at_m <= at_m[run[-1]] + HIGH_WITHIN_M)
    return bool(before.any() and after.any())


CROSSING: Final = Detector(
    name="crossing",
    words="A marked crossing of a creek or ditch, or a place where both banks of a creek are low.",
    source="the user's marks; low banks are common practice, no source",
    find=find,
)
