"""Passage in colour: where trips run, warm over the relief, darker is more."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from skimage import measure

from funnelfinder.kernels import AnyArray, FloatArray
from funnelfinder.shading.colours import RAMP, rgb

#: Where the ramp begins, and how many times more trips its end stands for (judgement).
_FIRST_OF_100: Final = 1.5
_SPAN: Final = 30.0
#: Opacity over the position on the ramp, linear between (judgement).
_POSITIONS: Final = (-0.25, 0.0, 0.25, 0.5, 1.0)
_STRENGTHS: Final = (0.0, 0.24, 0.52, 0.80, 0.95)
#: How much the light of the relief shows through the colour (judgement).
_THROUGH: Final = 0.2
_LEVEL: Final = 0.6
_N_TABLE: Final = 1280

#: Trips of 100 that the legend names.
LEGEND_TICKS: Final = (2, 5, 10, 20, 40)
#: Trips of 100 at which a line is drawn in black-and-white, with its width in window pixels.
STRONG_LINES: Final = ((5, 0.5), (10, 0.8), (20, 1.2), (40, 1.8))


def passage_of_100(passage_per_m: AnyArray, reach_m: float) -> AnyArray:
    """Return trips of 100 through a strip two reaches wide, square across the flow.

    Parameters
    ----------
    passage_per_m : (rows, cols) float
        Net trips that cross a place [share of all trips per metre of front].
    reach_m : float
        How near a deer must pass [m].

    Examples
    --------
    >>> passage_of_100(np.array([[0.002]]), 25.0)
    array([[10.]])
    """
    return np.asarray(passage_per_m * np.float32(200.0 * reach_m))


def passage_position(of_100: AnyArray) -> AnyArray:
    """Return the position on the ramp, 0 at 1.5 and 1 at 45 trips of 100; -inf where none run.

    Examples
    --------
    >>> passage_position(np.array([1.5, 45.0]))
    array([0., 1.])
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(np.log(np.asarray(of_100) / _FIRST_OF_100) / math.log(_SPAN))


def _colour_table() -> AnyArray:
    """Return red, green, blue, opacity (uint8) over positions from the lowest shown to 1."""
    position = np.linspace(_POSITIONS[0], 1.0, _N_TABLE)
    colours = np.array([rgb(colour) for colour in RAMP], dtype=np.float64)
    stops = np.linspace(0.0, 1.0, len(RAMP))
    channels = [np.interp(position, stops, colours[:, i]) for i in range(3)]
    opacity = 255.0 * np.interp(position, _POSITIONS, _STRENGTHS)
    return np.rint(np.column_stack([*channels, opacity])).astype(np.uint8)


_TABLE: Final = _colour_table()


def passage_rgba(of_100: AnyArray) -> AnyArray:
    """Return the colour of passage with its opacity.

    Parameters
    ----------
    of_100 : (rows, cols) float
        Trips of 100 through a strip two reaches wide; NaN where nothing was solved.

    Returns
    -------
    (rows, cols, 4) uint8
        Red, green, blue, opacity; not premultiplied; transparent below 0.64 and at NaN.

    Examples
    --------
    >>> passage_rgba(np.array([[0.0, 45.0]]))[0].tolist()
    [[244, 199, 162, 0], [85, 36, 52, 242]]
    """
    values = np.asarray(of_100, dtype=np.float32)
    position = np.asarray(passage_position(values), dtype=np.float32)
    scaled = (position - _POSITIONS[0]) * ((_N_TABLE - 1) / (1.0 - _POSITIONS[0])) + 0.5
    index = np.nan_to_num(scaled, copy=False, nan=0.0, posinf=_N_TABLE, neginf=0.0)
    return np.asarray(_TABLE.take(np.clip(index, 0, _N_TABLE - 1).astype(np.int32), axis=0))


def blend(relief: AnyArray, passage: AnyArray, light: AnyArray) -> AnyArray:
    """Return passage laid over the relief so that the ground still shows through.

    Parameters
    ----------
    relief : (rows, cols, 3) uint8
        Tinted relief.
    passage : (rows, cols, 4) uint8
        From `passage_rgba`.
    light : (rows, cols) float
        From `relief_light`, 0.6 on level ground.

    Returns
    -------
    (rows, cols, 3) uint8
    """
    opacity = passage[..., 3:].astype(np.float32) / np.float32(255.0)
    shine = 1.0 + _THROUGH * (np.asarray(light, dtype=np.float32)[..., None] - _LEVEL)
    warm = passage[..., :3].astype(np.float32) * shine
    mixed = relief.astype(np.float32) * (1.0 - opacity) + opacity * warm
    return np.asarray(np.clip(mixed + 0.5, 0.0, 255.0).astype(np.uint8))


def strong_lines(of_100: AnyArray) -> list[tuple[int, FloatArray]]:
    """Return outlines of passage at 5, 10, 20 and 40 of 100, for prints without colour.

    Parameters
    ----------
    of_100 : (rows, cols) float
        Trips of 100 through a strip two reaches wide.

    Returns
    -------
    list of (level, (n, 2) float64)
        Fractional (row, col) along each outline.
    """
    values = np.nan_to_num(np.asarray(of_100, dtype=np.float64), nan=0.0)
    if min(values.shape) < 2:
        return []
    return [
        (level, line)
        for level, _ in STRONG_LINES
        for line in measure.find_contours(values, float(level))  # type: ignore[no-untyped-call]
    ]
