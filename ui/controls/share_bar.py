"""The share bar: solid to the low end, fine upright lines from low to high, tick at the figure."""

from __future__ import annotations

import math

from PyQt5.QtCore import QRectF, Qt
from PyQt5.QtGui import QColor, QPainter, QPen

from ..look import colours

_LINE_PX = 3.4


def draw_share_bar(
    painter: QPainter, box: QRectF, share: float, low: float, high: float, *, full: float = 0.5
) -> None:
    """Draw a share with its range.

    Parameters
    ----------
    painter : QPainter
        Draws.
    box : QRectF
        Where [px].
    share, low, high : float
        The figure and its range [share of all trips]; NaN ends mean that it was not tested.
    full : float
        The share that fills the box.
    """

    def x_of(value: float) -> float:
        return box.left() + box.width() * min(max(value / full, 0.0), 1.0)

    painter.save()
    try:
        painter.setRenderHint(QPainter.Antialiasing, False)
        painter.fillRect(box, QColor(colours.PRESS))
        is_tested = not (math.isnan(low) or math.isnan(high))
        solid_to = x_of(low if is_tested else share)
        ink = QColor(colours.INK)
        painter.fillRect(QRectF(box.left(), box.top(), solid_to - box.left(), box.height()), ink)
        if is_tested:
            painter.setPen(QPen(ink, 1))
            x = solid_to + _LINE_PX
            while x < x_of(high):
                painter.drawLine(round(x), round(box.top()), round(x), round(box.bottom()) - 1)
                x += _LINE_PX
        painter.setPen(QPen(ink, 2.4, Qt.SolidLine, Qt.FlatCap))
        x = x_of(share)
        painter.drawLine(round(x), round(box.top() - 3), round(x), round(box.bottom() + 3))
    finally:
        painter.restore()
