"""Draws suggestions: thin dashes and a plus at the middle, never solid before they are taken."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

import shapely
from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF
from shapely.geometry.base import BaseGeometry

from funnelfinder.marks import MarkKind
from funnelfinder.suggestions import Suggestion

from ..gestures import Point
from ..look import colours
from ..look.icons import draw_icon

ToScreen = Callable[[Point], QPointF]
_THIN_PX: Final = 1.4
_DASH: Final = [4.0, 3.4]
#: Half of the plus, the pill that holds it with the icon of the kind, and the ring that holds it
#: alone where the outline is small: flat for beds, square for food [px].
_PLUS_PX: Final = 5.5
_PILL: Final = (46.0, 26.0)
_RINGS: Final = {MarkKind.BED: (25.0, 19.0), MarkKind.FOOD: (19.0, 19.0)}
_SMALL_PX: Final = (86.0, 60.0)
_ICON_PX: Final = 18.0
_ICONS: Final = {MarkKind.BED: "bed", MarkKind.FOOD: "food"}
#: Below this size an outline is clicked by its plus alone [px].
_HIT_PX: Final = 24.0


def middle_of(geometry: BaseGeometry) -> Point:
    """Return the place of the plus: always inside."""
    at = geometry.representative_point()
    return float(at.x), float(at.y)


def paint_suggestions(
    painter: QPainter,
    to_screen: ToScreen,
    shown: Mapping[int, Suggestion],
    *,
    in_hand: int = -1,
    trial: BaseGeometry | None = None,
) -> None:
    """Draw suggestions in ink, the one in hand in petrol where the hand has it."""
    painter.save()
    try:
        painter.setRenderHint(QPainter.Antialiasing, True)
        for number, one in shown.items():
            is_held = number == in_hand
            geometry = trial if is_held and trial is not None else one.geometry
            ink = QColor(colours.PETROL if is_held else colours.INK)
            path = _path(geometry, to_screen)
            _draw_outline(painter, path, ink)
            box = path.boundingRect()
            is_small = box.width() < _SMALL_PX[0] or box.height() < _SMALL_PX[1]
            draw = _draw_ring if is_small else _draw_pill
            draw(painter, to_screen(middle_of(geometry)), one.kind, ink)
    finally:
        painter.restore()


def _path(geometry: BaseGeometry, to_screen: ToScreen) -> QPainterPath:
    """Return the rings of an outline on the screen."""
    path = QPainterPath()
    for part in shapely.get_parts(geometry):
        for ring in (part.exterior, *part.interiors):
            corners = [to_screen((float(x), float(y))) for x, y in ring.coords]
            path.addPolygon(QPolygonF(corners))
    return path


def _draw_outline(painter: QPainter, path: QPainterPath, ink: QColor) -> None:
    """Draw thin dashes on a casing of paper."""
    painter.setBrush(Qt.NoBrush)
    painter.setPen(QPen(colours.colour(colours.PAPER, 0.8), _THIN_PX + 2.6))
    painter.drawPath(path)
    pen = QPen(ink, _THIN_PX)
    pen.setDashPattern(_DASH)
    pen.setCapStyle(Qt.FlatCap)
    painter.setPen(pen)
    painter.drawPath(path)


def _draw_pill(painter: QPainter, at: QPointF, kind: MarkKind, ink: QColor) -> None:
    """Draw a plus and the kind's icon in a dashed pill of paper."""
    wide, high = _PILL
    pill = QRectF(at.x() - wide / 2, at.y() - high / 2, wide, high)
    _dashed(painter, ink)
    painter.drawRoundedRect(pill, high / 2, high / 2)
    _draw_plus(painter, QPointF(pill.left() + 14.0, at.y()), ink)
    icon = QRectF(pill.right() - 7 - _ICON_PX, at.y() - _ICON_PX / 2, _ICON_PX, _ICON_PX)
    draw_icon(painter, _ICONS[kind], icon, ink)


def _draw_ring(painter: QPainter, at: QPointF, kind: MarkKind, ink: QColor) -> None:
    """Draw a plus in a small ring whose shape says the kind."""
    wide, high = _RINGS[kind]
    ring = QRectF(at.x() - wide / 2, at.y() - high / 2, wide, high)
    _dashed(painter, ink)
    if kind is MarkKind.BED:
        painter.drawEllipse(ring)
    else:
        painter.drawRect(ring)
    _draw_plus(painter, at, ink)


def _dashed(painter: QPainter, ink: QColor) -> None:
    """Take a pen of thin dashes and a brush of paper."""
    pen = QPen(ink, 1.2)
    pen.setDashPattern([3.0, 2.4])
    painter.setPen(pen)
    painter.setBrush(colours.colour(colours.PAPER, 0.94))


def _draw_plus(painter: QPainter, at: QPointF, ink: QColor) -> None:
    """Draw a plus."""
    painter.setPen(QPen(ink, 2.0, Qt.SolidLine, Qt.RoundCap))
    painter.drawLine(at - QPointF(_PLUS_PX, 0), at + QPointF(_PLUS_PX, 0))
    painter.drawLine(at - QPointF(0, _PLUS_PX), at + QPointF(0, _PLUS_PX))


def suggestion_at(shown: Mapping[int, Suggestion], at_m: Point, px_m: float) -> int:
    """Return the number of the suggestion under a place, the smallest first; -1 for none."""
    point = shapely.Point(at_m)
    near = _HIT_PX * px_m
    hits = [
        (one.geometry.area, number)
        for number, one in shown.items()
        if one.geometry.intersects(point)
        or shapely.Point(middle_of(one.geometry)).distance(point) <= near
    ]
    return min(hits)[1] if hits else -1
