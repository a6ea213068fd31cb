"""Draws what the hand is doing: corners, rubber line, rings, cross."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPen, QPolygonF

from ..gestures import Point, Sketch
from ..look import colours
from .lettering import draw_name

_CORNER_PX: Final = 11.0
_MIDDLE_PX: Final = 7.0
_RING_PX: Final = 15.0
_CROSS_PX: Final = 15.0

ToScreen = Callable[[Point], QPointF]


def paint_sketch(
    painter: QPainter, sketch: Sketch, to_screen: ToScreen, *, words: str = ""
) -> None:
    """Draw a sketch in screen pixels; ``words`` stand at the pointer."""
    painter.setRenderHint(QPainter.Antialiasing, True)
    for ring in sketch.before:
        _rings(painter, ring, to_screen, is_closed=sketch.is_area, is_dotted=True)
    if sketch.is_loose:
        for ring in sketch.rings:
            _rings(painter, ring, to_screen, is_closed=False)
        _rubber(painter, sketch, to_screen)
    corners = [to_screen(place) for place in sketch.corners_m]
    for place in sketch.middles_m:
        at = to_screen(place)
        # A short side has no room for a handle between its corners.
        if all((at - corner).manhattanLength() > 1.6 * _CORNER_PX for corner in corners):
            _handle(painter, at, _MIDDLE_PX, is_round=True)
    for number, place in enumerate(sketch.corners_m):
        grown = place == sketch.grown_m
        side = _CORNER_PX + (5 if grown else 0)
        _handle(painter, to_screen(place), side, is_solid=grown or number == sketch.chosen)
    _signs(painter, sketch, to_screen)
    said = sketch.words or words
    if said and sketch.pointer_m is not None:
        at = to_screen(sketch.pointer_m)
        for number, line in enumerate(said.split("\n")):
            draw_name(painter, line, at + QPointF(0, 28 + 21 * number), colour=colours.PETROL)


def _signs(painter: QPainter, sketch: Sketch, to_screen: ToScreen) -> None:
    """Draw what the pointer snaps to, where a corner was refused, and the cross of the keys."""
    if sketch.snapped_m is not None:
        _circle(painter, to_screen(sketch.snapped_m), _RING_PX, colours.PETROL)
    if sketch.crossing_m is not None:
        _circle(painter, to_screen(sketch.crossing_m), 2 * _RING_PX, colours.INK)
    if sketch.cross_m is not None:
        _cross(painter, to_screen(sketch.cross_m))


def _pen(value: str, width: float, *, share: float = 1.0, is_dotted: bool = False) -> QPen:
    """Return a pen of the hand."""
    pen = QPen(colours.colour(value, share), width)
    pen.setCapStyle(Qt.RoundCap)
    pen.setJoinStyle(Qt.RoundJoin)
    if is_dotted:
        pen.setDashPattern([0.1, 3.0])
    return pen


def _rings(
    painter: QPainter,
    ring: Sequence[Point],
    to_screen: ToScreen,
    *,
    is_closed: bool,
    is_dotted: bool = False,
) -> None:
    """Draw a line or outline in petrol, or dotted in ink where it was before."""
    line = QPolygonF([to_screen(place) for place in ring])
    if is_closed and ring:
        line.append(to_screen(ring[0]))
    painter.setBrush(Qt.NoBrush)
    painter.setPen(_pen(colours.PAPER, 6.0, share=0.85))
    painter.drawPolyline(line)
    value = colours.GREY_INK if is_dotted else colours.PETROL
    painter.setPen(_pen(value, 1.8 if is_dotted else 2.6, is_dotted=is_dotted))
    painter.drawPolyline(line)


def _rubber(painter: QPainter, sketch: Sketch, to_screen: ToScreen) -> None:
    """Draw the line from the last corner to the pointer, and back to the first."""
    if sketch.pointer_m is None or not sketch.rings:
        return
    corners = sketch.rings[-1]
    line = [to_screen(corners[-1]), to_screen(sketch.pointer_m)]
    if sketch.is_area and len(corners) > 1:
        line.append(to_screen(corners[0]))
    painter.setPen(_pen(colours.PAPER, 5.0, share=0.7))
    painter.drawPolyline(QPolygonF(line))
    pen = _pen(colours.PETROL, 1.8)
    pen.setDashPattern([3.0, 2.5])
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF(line))


def _handle(
    painter: QPainter,
    at: QPointF,
    side: float,
    *,
    is_round: bool = False,
    is_solid: bool = False,
) -> None:
    """Draw a corner (square) or a middle (round)."""
    box = QRectF(at.x() - side / 2, at.y() - side / 2, side, side)
    painter.setPen(QPen(QColor(colours.PETROL), 2.0))
    painter.setBrush(QColor(colours.PETROL if is_solid else colours.PAPER))
    if is_round:
        painter.drawEllipse(box)
    else:
        painter.drawRect(box)


def _circle(painter: QPainter, at: QPointF, across: float, value: str) -> None:
    """Draw a ring with a casing."""
    painter.setBrush(Qt.NoBrush)
    for pen in (_pen(colours.PAPER, 5.0), _pen(value, 2.4)):
        painter.setPen(pen)
        painter.drawEllipse(at, across / 2, across / 2)


def _cross(painter: QPainter, at: QPointF) -> None:
    """Draw the cross that the keys move."""
    for pen in (_pen(colours.PAPER, 5.0), _pen(colours.PETROL, 2.0)):
        painter.setPen(pen)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            painter.drawLine(
                at + QPointF(4 * dx, 4 * dy), at + QPointF(_CROSS_PX * dx, _CROSS_PX * dy)
            )
