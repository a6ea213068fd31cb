"""Scent on the map: dots that drift away from the person, thicker where more of the wind goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from PyQt5.QtCore import QPointF, Qt
from PyQt5.QtGui import QPainter, QPen, QPolygonF

from funnelfinder.kernels import AnyArray, FloatArray

from ..gestures import Point
from ..look import colours

_N_DOTS: Final = 900
#: How far a dot drifts before it begins again [m].
_DRIFT_M: Final = 18.0
_DOT_PX: Final = 2.6
#: Dots are drawn in so many strengths.
_N_STRENGTHS: Final = 3
_SEED: Final = 7


@dataclass(frozen=True, kw_only=True)
class ScentDots:
    """Dots of one plume: where each begins [m], which way it drifts, and when in its turn it is.

    ``begin_m`` is (n, 2), ``ahead`` (n, 2) unit vectors, ``phase`` (n,) from 0 to 1.
    """

    begin_m: FloatArray
    ahead: FloatArray
    phase: FloatArray


def scent_dots(share: AnyArray, at_m: Point, cell_m: float) -> ScentDots:
    """Return dots spread over cells as the wind's swing is.

    Parameters
    ----------
    share : (2n, 2n) float
        Share of the swing that carries scent to each cell, south-west first, the person in the
        middle.
    at_m : (x_m, y_m)
        Where the person is [m].
    cell_m : float
        Side of a cell [m].
    """
    rng = np.random.default_rng(_SEED)
    weight = np.asarray(share, dtype=np.float64).ravel()
    filled = np.flatnonzero(weight)
    if not filled.size:
        none = np.zeros((0, 2))
        return ScentDots(begin_m=none, ahead=none, phase=np.zeros(0))
    n = min(_N_DOTS, 4 * filled.size)
    # The square root keeps the rim of the swing in sight.
    parts = np.sqrt(weight[filled])
    cells = rng.choice(filled, size=n, p=parts / parts.sum())
    rows, cols = np.divmod(cells, share.shape[1])
    middle = share.shape[0] // 2
    spread = rng.random((n, 2))
    offset = (np.column_stack([cols - middle, rows - middle]) + spread) * cell_m
    far = np.maximum(np.hypot(*offset.T), 1e-6)[:, None]
    return ScentDots(begin_m=np.array(at_m) + offset, ahead=offset / far, phase=rng.random(n))


def paint_scent(
    painter: QPainter, to_screen: Callable[[Point], QPointF], dots: ScentDots, turn: float
) -> None:
    """Draw the dots at a time of their turn, 0 to 1; each fades in and out as it drifts."""
    if not dots.phase.size:
        return
    phase = (dots.phase + turn) % 1.0
    places = dots.begin_m + dots.ahead * (phase - 0.5)[:, None] * _DRIFT_M
    pixels = _pixels(places, to_screen)
    strength = np.minimum((1.0 - np.abs(2.0 * phase - 1.0)) * _N_STRENGTHS, _N_STRENGTHS - 0.01)
    painter.setBrush(Qt.NoBrush)
    for step in range(_N_STRENGTHS):
        chosen = pixels[strength.astype(int) == step]
        if not len(chosen):
            continue
        polygon = QPolygonF([QPointF(x, y) for x, y in chosen.tolist()])
        cover = (step + 1) / _N_STRENGTHS
        for value, more, share in ((colours.PAPER, 2.2, 0.55), (colours.INK, 0.0, 0.85)):
            pen = QPen(colours.colour(value, share * cover), _DOT_PX + more)
            pen.setCapStyle(Qt.RoundCap)
            painter.setPen(pen)
            painter.drawPoints(polygon)


def _pixels(places_m: FloatArray, to_screen: Callable[[Point], QPointF]) -> FloatArray:
    """Return the pixels of many places, (n, 2)."""
    x0, y0 = (float(v) for v in places_m[0])
    origin, east = to_screen((x0, y0)), to_screen((x0 + 1000.0, y0))
    scale = (east.x() - origin.x()) / 1000.0
    offset = (places_m - places_m[0]) * scale
    return np.column_stack([origin.x() + offset[:, 0], origin.y() - offset[:, 1]])
