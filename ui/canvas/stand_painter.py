"""Draws stands over the map: ladders on trunks, lines to the scrapes, ways in, scent."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPen, QPolygonF

from funnelfinder.kernels import FloatArray
from funnelfinder.scrapes import Cluster
from funnelfinder.stands import Stand

from ..gestures import Point
from ..look import colours
from ..look.icons import draw_icon
from .lettering import draw_name
from .scent_dots import ScentDots, paint_scent
from .spot_painter import SpotScene, draw_beside, paint_spots

ToScreen = Callable[[Point], QPointF]
_SQUARE_PX: Final = 28.0
_SMALL_PX: Final = 20.0
#: Dots of a way lie this far apart, arrowheads this many dots [px].
_STEP_PX: Final = 9.0
_HEAD_EVERY: Final = 9


@dataclass(frozen=True, kw_only=True)
class StandScene:
    """What is drawn of the stands.

    ``stands`` are those in force, ``others`` trees that could be taken; ``in_hand`` names one of
    them; ``way_in`` and ``way_out`` are walks [m]; ``camera`` is the camera point of the spot in
    hand; ``pointing`` a place that the hand points at, with its words and whether a rule forbids
    it.
    """

    spots: Sequence[Cluster] = ()
    stands: Sequence[Stand] = ()
    others: Sequence[Stand] = ()
    in_hand: str = ""
    way_in: FloatArray | None = None
    way_out: FloatArray | None = None
    camera: Point | None = None
    scent: ScentDots | None = None
    pointing: tuple[Point, str, bool] | None = None


def paint_stands(
    painter: QPainter, to_screen: ToScreen, scene: StandScene, *, turn: float = 0.0
) -> None:
    """Draw everything, what matters most last; ``turn`` is how far scent has drifted, 0 to 1."""
    painter.setRenderHint(QPainter.Antialiasing, True)
    if scene.scent is not None:
        paint_scent(painter, to_screen, scene.scent, turn)
    for way, is_in in ((scene.way_out, False), (scene.way_in, True)):
        if way is not None and len(way) > 1:
            _draw_way(painter, to_screen, way, is_in=is_in)
    held = next((one for one in (*scene.stands, *scene.others) if one.name == scene.in_hand), None)
    if held is not None:
        _draw_legs(painter, to_screen, held)
    taken = frozenset(one.number for one in scene.spots)
    paint_spots(painter, to_screen, SpotScene(clusters=scene.spots, taken=taken))
    _draw_signs(painter, to_screen, scene, held)
    if scene.pointing is not None:
        _draw_pointing(painter, to_screen, *scene.pointing)


def _draw_signs(
    painter: QPainter, to_screen: ToScreen, scene: StandScene, held: Stand | None
) -> None:
    """Draw camera and trees, each whole only where it meets none that matters more."""
    if scene.camera is not None:
        _draw_sign(painter, to_screen(scene.camera), "camera", _SMALL_PX, colours.INK)
    own = [one for one in scene.stands if one.is_chosen and one is not held]
    found = [one for one in scene.stands if not one.is_chosen and one is not held]
    ranked = [*([held] if held is not None else []), *own, *found]
    boxes: list[QRectF] = []
    drawn: list[tuple[Stand, QPointF, bool]] = []
    for one in ranked:
        at = to_screen((one.x_m, one.y_m))
        box = QRectF(at.x() - 20, at.y() - 16, 40, 46)
        is_whole = not any(box.intersects(other) for other in boxes)
        if is_whole:
            boxes.append(box)
        drawn.append((one, at, is_whole))
    for one in scene.others:
        if one is not held:
            _draw_small(painter, to_screen((one.x_m, one.y_m)), is_chosen=False)
    for one, at, is_whole in reversed(drawn):
        if is_whole:
            draw_stand(painter, at, one, is_held=one is held)
        else:
            _draw_small(painter, at, is_chosen=one.is_chosen)


def draw_stand(painter: QPainter, at: QPointF, stand: Stand, *, is_held: bool = False) -> None:
    """Draw the ladder of a stand with its name; the frame of the person's own is solid."""
    ink = colours.PETROL if is_held else colours.INK
    _draw_sign(painter, at, "stand", _SQUARE_PX, ink, is_framed=stand.is_chosen, is_thick=is_held)
    draw_name(painter, stand.name, at + QPointF(0, _SQUARE_PX / 2 + 10), colour=ink)


def _draw_small(painter: QPainter, at: QPointF, *, is_chosen: bool) -> None:
    """Draw a stand as a small square: solid for the person's own."""
    box = QRectF(at.x() - 3.5, at.y() - 3.5, 7, 7)
    painter.setPen(QPen(QColor(colours.PAPER), 3.6))
    painter.setBrush(Qt.NoBrush)
    painter.drawRect(box)
    painter.setPen(QPen(QColor(colours.INK), 1.4))
    painter.setBrush(QColor(colours.INK if is_chosen else colours.PAPER))
    painter.drawRect(box)


def _draw_sign(
    painter: QPainter,
    at: QPointF,
    name: str,
    side: float,
    ink: str,
    *,
    is_framed: bool = True,
    is_thick: bool = False,
) -> None:
    """Draw a glyph in a paper square; the frame of what is only found is dashed."""
    box = QRectF(at.x() - side / 2, at.y() - side / 2, side, side)
    painter.setPen(QPen(QColor(colours.PAPER), 4.0))
    painter.setBrush(colours.colour(colours.PAPER, 0.92))
    painter.drawRoundedRect(box, 4, 4)
    pen = QPen(QColor(ink), 2.2 if is_thick else 1.4)
    if not is_framed:
        pen.setDashPattern([3, 2.4])
    painter.setPen(pen)
    painter.drawRoundedRect(box, 4, 4)
    draw_icon(painter, name, box.adjusted(3.5, 3, -3.5, -3), QColor(ink), line=2.0)


def _draw_legs(painter: QPainter, to_screen: ToScreen, stand: Stand) -> None:
    """Draw the lines from a stand to the scrapes."""
    at = to_screen((stand.x_m, stand.y_m))
    for value, width in ((colours.PAPER, 4.6), (colours.PETROL, 1.8)):
        pen = QPen(QColor(value), width)
        if value == colours.PETROL:
            pen.setDashPattern([5, 3])
        painter.setPen(pen)
        for scrape in stand.scrapes_m:
            painter.drawLine(at, to_screen(scrape))


def _draw_way(painter: QPainter, to_screen: ToScreen, way_m: FloatArray, *, is_in: bool) -> None:
    """Draw a walk as dots with arrowheads: solid for the way in, small rings for the way out."""
    line = [to_screen((float(x), float(y))) for x, y in way_m]
    points = _spaced(line, _STEP_PX)
    for value, more in ((colours.PAPER, 2.6), (colours.INK, 0.0)):
        ink = QColor(value)
        for number, (at, ahead) in enumerate(points):
            if number % _HEAD_EVERY == _HEAD_EVERY // 2:
                painter.setPen(QPen(ink, more + 0.6))
                painter.setBrush(ink)
                painter.drawPolygon(_head(at, ahead))
                continue
            is_ring = not is_in and not more
            painter.setPen(QPen(ink, 1.2) if is_ring else QPen(ink, more + 0.1))
            painter.setBrush(QColor(colours.PAPER) if is_ring else ink)
            painter.drawEllipse(at, 2.1, 2.1)


def _spaced(line: Sequence[QPointF], step: float) -> list[tuple[QPointF, QPointF]]:
    """Return points at even distances along a line, each with the unit vector ahead."""
    found: list[tuple[QPointF, QPointF]] = []
    left = step / 2
    for a, b in pairwise(line):
        length = math.hypot(b.x() - a.x(), b.y() - a.y())
        if length <= 0:
            continue
        ahead = (b - a) / length
        while left <= length:
            found.append((a + ahead * left, ahead))
            left += step
        left -= length
    return found


def _head(at: QPointF, ahead: QPointF) -> QPolygonF:
    """Return an arrowhead."""
    across = QPointF(-ahead.y(), ahead.x())
    return QPolygonF([at + ahead * 6, at - ahead * 4 + across * 4.4, at - ahead * 4 - across * 4.4])


def _draw_pointing(
    painter: QPainter, to_screen: ToScreen, at_m: Point, words: str, is_forbidden: bool
) -> None:
    """Draw the hollow square that rides on the pointer, with its words."""
    at, half = to_screen(at_m), _SQUARE_PX / 2
    box = QRectF(at.x() - half, at.y() - half, _SQUARE_PX, _SQUARE_PX)
    painter.setBrush(Qt.NoBrush)
    painter.setPen(QPen(QColor(colours.PAPER), 5.0))
    painter.drawRoundedRect(box, 4, 4)
    pen = QPen(QColor(colours.PETROL), 2.2)
    if is_forbidden:
        pen.setDashPattern([2.5, 2])
    painter.setPen(pen)
    painter.drawRoundedRect(box, 4, 4)
    if words:
        draw_beside(painter, words, at, _SQUARE_PX)


def stand_at(scene: StandScene, at: QPointF, to_screen: ToScreen) -> str:
    """Return the name of the stand under a pixel, empty for none."""
    best, name = 20.0, ""
    for one in (*scene.others, *scene.stands):
        here = to_screen((one.x_m, one.y_m))
        far = math.hypot(here.x() - at.x(), here.y() - at.y())
        if far <= best:
            best, name = far, one.name
    return name
