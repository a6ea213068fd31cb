"""A small drawing of how far trips stray: a narrow or a wide bundle between a bed and a field."""

from __future__ import annotations

import math

from PyQt5.QtCore import QPointF, QRectF, QSize
from PyQt5.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PyQt5.QtWidgets import QSizePolicy, QWidget

from ..look import colours
from ..look.icons import draw_icon

_N_LINES = 15


class WanderPicture(QWidget):
    """The bundle for a wander, to scale with the two ends 400 yards apart."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._share = 0.25
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        self.setAccessibleName("How wide trips spread")

    def show_share(self, share: float) -> None:
        """Show a wander as a share of the way between the two ends."""
        self._share = share
        self.update()

    def sizeHint(self) -> QSize:
        """Return its size."""
        return QSize(270, 92)

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(160, 92)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw bed, field and the bundle between them."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.setPen(QPen(QColor(colours.RULE), 1))
            painter.setBrush(QColor(colours.WELL))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 7, 7)
            middle = self.height() / 2
            start, end = QPointF(46, middle), QPointF(self.width() - 46, middle)
            self._draw_bundle(painter, start, end)
            for name, at in (("bed", start), ("food", end)):
                away = -22 if name == "bed" else 22
                box = QRectF(at.x() + away - 12, at.y() - 12, 24, 24)
                draw_icon(painter, name, box, QColor(colours.INK))
        finally:
            painter.end()

    def _draw_bundle(self, painter: QPainter, start: QPointF, end: QPointF) -> None:
        """Draw lines that part half way, the farther the rarer."""
        way = end.x() - start.x()
        for number in range(_N_LINES):
            # The quantiles of a bell curve, so that most lines run near the middle.
            place = 2.0 * (number + 0.5) / _N_LINES - 1.0
            aside = math.copysign(math.sqrt(-2 * math.log(1 - abs(place) * 0.96)), place) * 0.55
            y = max(min(aside * self._share * way, self.height() / 2 - 5), 5 - self.height() / 2)
            path = QPainterPath(start)
            half = QPointF((start.x() + end.x()) / 2, start.y() + y)
            path.cubicTo(
                QPointF(start.x() + way / 6, start.y() + y * 0.6),
                QPointF(half.x() - way / 5, half.y()),
                half,
            )
            path.cubicTo(
                QPointF(half.x() + way / 5, half.y()),
                QPointF(end.x() - way / 6, end.y() + y * 0.6),
                end,
            )
            painter.strokePath(path, QPen(colours.colour(colours.RAMP[4], 0.75), 1.6))
