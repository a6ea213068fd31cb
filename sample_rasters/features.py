"""Work the small things into the grown ground: flood plains, channels, a bench, fine roughness."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy import ndimage

from .landform import (
    PLAIN_ABOVE_M,
    Floats,
    bent,
    curve,
    fractal,
    nearest,
    refined,
    smooth_step,
    valley_floor,
)
from .plan import BENCH, BRANCH, CREEK, SADDLE, Stream

#: The valley side meets the flood plain over this width [m].
TOE_M: Final = 45.0
#: Spread of the small hummocks [m].
ROUGH_M: Final = 0.2


def channel(stream: Stream, *, wave_m: float, size_m: float) -> Floats:
    """Return the winding line of a stream within its flood plain: x, y, height [m]."""
    line = curve(stream.points, 4.0)
    steps = np.hypot(*np.diff(line[:, :2], axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    room = np.minimum(np.minimum(line[:, 3], line[:, 4]) * 0.55, size_m)
    swing = room * np.sin(2.0 * np.pi * along / wave_m + 1.1 * np.sin(along / (0.9 * wave_m)))
    forward = np.gradient(line[:, :2], axis=0)
    forward /= np.hypot(*forward.T)[:, None]
    aside = np.column_stack([-forward[:, 1], forward[:, 0]])
    return np.column_stack([line[:, :2] + swing[:, None] * aside, line[:, 2]])


def creek_line() -> Floats:
    """Return the creek: x, y, height [m]."""
    return channel(CREEK, wave_m=230.0, size_m=30.0)


def branch_line() -> Floats:
    """Return the branch of the northern valley: x, y, height [m]."""
    return channel(BRANCH, wave_m=140.0, size_m=14.0)


def heights_at(
    coarse: Floats, x: Floats, y: Floats, rng: np.random.Generator, cell_m: float
) -> Floats:
    """Return the finished heights at the cells of a grid [m]."""
    heights = _with_saddle(refined(coarse, x, y), x, y)
    heights = _with_bench(heights, x, y)
    heights = heights + ROUGH_M * _rough(x.shape, rng, cell_m)
    for stream in (CREEK, BRANCH):
        floor, beyond = valley_floor(stream, x, y, 5.0)
        plain = floor + PLAIN_ABOVE_M + 0.006 * np.maximum(beyond + 60.0, 0.0)
        share = smooth_step((beyond + TOE_M / 3.0) / TOE_M)
        heights = plain + (heights - plain) * share
    heights = _cut_channel(heights, x, y, creek_line(), half_m=6.0, depth_m=1.6)
    return _cut_channel(heights, x, y, branch_line(), half_m=1.5, depth_m=0.9)


def _rough(shape: tuple[int, int], rng: np.random.Generator, cell_m: float) -> Floats:
    """Return roughness of unit spread: hummocks of up to 60 m, softened below 8 m."""
    return np.asarray(
        ndimage.gaussian_filter(fractal(shape, rng, longest=60.0 / cell_m), 3.0 / cell_m)
    )


def _with_saddle(heights: Floats, x: Floats, y: Floats) -> Floats:
    """Return heights with the gap in the main ridge worn down."""
    east, north = bent(np.array([SADDLE[:2]]))[0]
    far = np.hypot(x - east, y - north)
    return np.asarray(heights - SADDLE[2] * np.exp(-((far / SADDLE[3]) ** 2)))


def _with_bench(heights: Floats, x: Floats, y: Floats) -> Floats:
    """Return heights with a level strip along the hillside, steeper above and below it."""
    line = curve(BENCH.points, 5.0)
    far, index = nearest(line, x, y, 2.0 * BENCH.reach_m)
    ends = np.minimum(index, len(line) - 1 - index) * 5.0
    near = 1.0 - smooth_step((far - BENCH.reach_m) / BENCH.reach_m)
    weight = near * smooth_step(ends / BENCH.fade_m)
    above = (heights - BENCH.height_m) / BENCH.step_m
    level = weight * BENCH.step_m * BENCH.flatness * above * np.exp(-(above**2))
    return np.asarray(heights - level)


def _cut_channel(
    heights: Floats, x: Floats, y: Floats, line: Floats, *, half_m: float, depth_m: float
) -> Floats:
    """Return heights with a stream bed and its banks cut in."""
    far, index = nearest(line, x, y, 40.0)
    bed = line[index, 2] + PLAIN_ABOVE_M - depth_m
    share = smooth_step((half_m + 4.0 - far) / 4.0)
    return np.where(share > 0, heights + (np.minimum(bed, heights) - heights) * share, heights)
