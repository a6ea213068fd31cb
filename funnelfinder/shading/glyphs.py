"""Small signs of our own drawing, in a box of 24 × 24 with y downward."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

import numpy as np

from funnelfinder.kernels import FloatArray

#: Side of the box that glyphs are drawn in.
BOX: Final = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Glyph:
    """One sign: lines of width 1.8 in its box, and filled outlines, each (n, 2) float64."""

    strokes: tuple[FloatArray, ...] = ()
    fills: tuple[FloatArray, ...] = ()


def placed_glyph(glyph: Glyph, at: tuple[float, float], size: float) -> Glyph:
    """Return a glyph with its box ``size`` wide and centred at a place (y downward)."""

    def moved(points: FloatArray) -> FloatArray:
        return np.asarray((points - BOX / 2) * (size / BOX) + np.array(at))

    return replace(
        glyph,
        strokes=tuple(moved(points) for points in glyph.strokes),
        fills=tuple(moved(points) for points in glyph.fills),
    )


def _path(*points: tuple[float, float]) -> FloatArray:
    """Return points as an array."""
    return np.array(points, dtype=np.float64)


def _arc(
    at: tuple[float, float], radii: tuple[float, float], start_deg: float, end_deg: float
) -> FloatArray:
    """Return an arc of an ellipse, angles from the x axis towards y (downward)."""
    turn = np.radians(np.linspace(start_deg, end_deg, max(int(abs(end_deg - start_deg) / 12), 4)))
    return np.column_stack([at[0] + radii[0] * np.cos(turn), at[1] + radii[1] * np.sin(turn)])


def _bed() -> Glyph:
    """Return a flat oval with seven lashes from its upper rim inward."""
    oval = _arc((12, 13), (10, 6.5), 0, 360)
    strokes = [oval]
    for turn in np.radians(np.linspace(200, 340, 7)):
        foot = (12 + 10 * math.cos(turn), 13 + 6.5 * math.sin(turn))
        strokes.append(_path(foot, (12 + 7 * math.cos(turn), 13 + 3.4 * math.sin(turn))))
    return Glyph(strokes=tuple(strokes))


def _food() -> Glyph:
    """Return a leaning field with two rows of three dots."""
    field = _path((5, 5), (21, 4), (20, 19), (3, 20), (5, 5))
    dots = [
        _arc((x, y), (1.3, 1.3), 0, 360) for y in (9.5, 15) for x in (8 + y / 30, 12, 16 + y / 40)
    ]
    return Glyph(strokes=(field,), fills=tuple(dots))


def _rub() -> Glyph:
    """Return a trunk as two lines with a bare almond patch, and the ground."""
    left = _arc((3.2, 12), (6, 6), -40, 40)
    right = _arc((20.8, 12), (6, 6), 140, 220)
    almond = np.concatenate([left + np.array([2.9, 0]), (right + np.array([-2.9, 0]))])
    return Glyph(
        strokes=(
            _path((7.5, 3), (7.5, 20)),
            _path((16.5, 3), (16.5, 20)),
            _path((4, 20), (20, 20)),
        ),
        fills=(almond,),
    )


def _scrape() -> Glyph:
    """Return a pawed oval under a licking branch."""
    return Glyph(
        strokes=(
            _arc((12, 17.5), (7.5, 3.4), 0, 360),
            _path((3, 4), (13, 6), (20, 10.5)),
            _path((13, 6), (17.5, 4.5)),
        )
    )


def _tracks() -> Glyph:
    """Return two prints of cloven hooves."""
    fills = []
    for x, y in ((8, 15.5), (16, 8.5)):
        for side in (-1.0, 1.0):
            half = _arc((x + side * 1.9, y), (1.5, 4.2), 0, 360)
            half[:, 0] += side * 0.16 * (half[:, 1] - y)
            fills.append(half)
    return Glyph(fills=tuple(fills))


def _gate() -> Glyph:
    """Return two posts, two rails and a brace."""
    return Glyph(
        strokes=(
            _path((5, 4), (5, 20)),
            _path((19, 4), (19, 20)),
            _path((5, 8), (19, 8)),
            _path((5, 16), (19, 16)),
            _path((5, 16), (19, 8)),
        )
    )


def _house() -> Glyph:
    """Return a solid gable."""
    return Glyph(fills=(_path((12, 3), (21, 11), (19, 11), (19, 21), (5, 21), (5, 11), (3, 11)),))


def _hourglass() -> Glyph:
    """Return two solid triangles tip to tip."""
    return Glyph(
        fills=(
            _path((4, 3), (20, 3), (12.8, 12), (11.2, 12)),
            _path((4, 21), (20, 21), (12.8, 12), (11.2, 12)),
        )
    )


def _half_disc() -> Glyph:
    """Return a half-disc over a line."""
    return Glyph(
        strokes=(_path((2.5, 19.5), (21.5, 19.5)),), fills=(_arc((12, 16), (8, 9.5), 180, 360),)
    )


def _edge() -> Glyph:
    """Return three dots over a line."""
    dots = tuple(_arc((x, 9), (1.9, 1.9), 0, 360) for x in (5.5, 12, 18.5))
    return Glyph(strokes=(_path((2.5, 16.5), (21.5, 16.5)),), fills=dots)


def _stand() -> Glyph:
    """Return a ladder that leans on a trunk."""
    return Glyph(
        strokes=(
            _path((15, 2), (15, 22)),
            _path((19, 2), (19, 22)),
            _path((5, 22), (9, 6)),
            _path((10, 22), (13, 8)),
            _path((6, 18), (10.8, 18)),
            _path((7, 14), (11.6, 14)),
            _path((8, 10), (12.4, 10)),
            _path((7, 6), (15, 6)),
        )
    )


def _caution() -> Glyph:
    """Return a triangle with an exclamation mark."""
    return Glyph(
        strokes=(_path((12, 3), (22, 20.5), (2, 20.5), (12, 3)), _path((12, 9), (12, 14))),
        fills=(_arc((12, 17.2), (1.2, 1.2), 0, 360),),
    )


#: Signs by the word for what they mean.
GLYPHS: Final[Mapping[str, Glyph]] = MappingProxyType(
    {
        "bed": _bed(),
        "food": _food(),
        "rub": _rub(),
        "scrape": _scrape(),
        "tracks": _tracks(),
        "way-in": _gate(),
        "house": _house(),
        "pinch": _hourglass(),
        "staging": _half_disc(),
        "field edge": _edge(),
        "stand": _stand(),
        "caution": _caution(),
    }
)
