"""Names on the map: semibold ink with a halo of paper."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from ..look import colours
from ..look.fonts import font, text_scale

_HALO_PX: Final = 2.0


@lru_cache(maxsize=512)
def _letters(
    text: str, size_px: float, is_italic: bool, is_bold: bool, scale: float
) -> tuple[QPainterPath, float, float]:
    """Return a text as a path from its base line, its width, and the height of its capitals."""
    face = font(size_px, bold=is_bold, italic=is_italic)
    metrics = QFontMetricsF(face)
    path = QPainterPath()
    path.addText(QPointF(0, 0), face, text)
    return path, metrics.horizontalAdvance(text), metrics.capHeight()


def text_box(text: str, *, size_px: float = 16, is_italic: bool = False) -> tuple[float, float]:
    """Return width and height of capitals of a name [px]."""
    _, width, height = _letters(text, size_px, is_italic, not is_italic, text_scale())
    return width, height


def draw_name(
    painter: QPainter,
    text: str,
    middle: QPointF,
    *,
    colour: str = colours.INK,
    size_px: float = 16,
    is_italic: bool = False,
    is_bold: bool = True,
) -> QRectF:
    """Draw a name centred on a point of the screen; return its box."""
    path, width, height = _letters(text, size_px, is_italic, is_bold, text_scale())
    left, base = middle.x() - width / 2, middle.y() + height / 2
    painter.save()
    try:
        painter.setRenderHint(QPainter.Antialiasing, True)
        painter.translate(round(left), round(base))
        halo = QPen(colours.colour(colours.PAPER, 0.9), 2 * _HALO_PX)
        halo.setJoinStyle(Qt.RoundJoin)
        painter.strokePath(path, halo)
        painter.fillPath(path, QColor(colour))
    finally:
        painter.restore()
    return QRectF(left, base - height, width, height).adjusted(-3, -5, 3, 5)
