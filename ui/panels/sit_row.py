"""One stand in a list: its petal on the wind that is set, its name, and what it is worth."""

from __future__ import annotations

from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import (
    QColor,
    QPainter,
    QPainterPath,
    QPaintEvent,
)

from ..controls.tall_row import WRAPS, TallRow
from ..controls.wind_dial import Petal, draw_cross, draw_petal
from ..look import colours
from ..look.fonts import font, scaled

_SIGN_PX = 24.0


class SitRow(TallRow):
    """A stand that can be taken in hand."""

    def __init__(self, name: str) -> None:
        super().__init__(name, tip="Click to see it on the map.")
        self.name = name
        self._figure, self._petal = "", Petal.UNKNOWN
        self.setObjectName(f"sit-{name}")
        self.setCheckable(True)

    @property
    def petal(self) -> Petal:
        """How many trips are alerted on the wind that is set."""
        return self._petal

    def show_sit(self, title: str, figure: str, line: str, petal: Petal) -> None:
        """Show name, figure at the right, words, and petal."""
        self.setText(title)
        self._figure, self._petal = figure, petal
        self.setAccessibleName(f"{title}: {figure} {line} Alerts {petal.value}.")
        self.set_line(line)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw petal, name, figure and words."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(0, 1, 0, -1))
            draw_swatch(painter, QRectF(9, 8, _SIGN_PX * 0.8, _SIGN_PX), self._petal)
            wide = self.width() - self.left_px - self.right_px
            first = QRectF(self.left_px, 6, wide, scaled(16) + 4)
            painter.setFont(font(16, bold=True))
            painter.setPen(QColor(colours.PETROL if self.isChecked() else colours.INK))
            painter.drawText(first, int(Qt.AlignLeft | Qt.AlignVCenter), self.text())
            painter.setPen(QColor(colours.INK))
            painter.drawText(first, int(Qt.AlignRight | Qt.AlignVCenter), self._figure)
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15))
            painter.drawText(
                QRectF(self.left_px, first.bottom() + 1, wide, 1000), WRAPS, self._line
            )
        finally:
            painter.end()


def draw_swatch(painter: QPainter, box: QRectF, petal: Petal) -> None:
    """Draw one petal upright in a box, as on the dial."""

    def outline(down_to: float) -> QPainterPath:
        low = box.top() + box.height() * down_to
        inset = box.width() * 0.28 * down_to
        path = QPainterPath(QPointF(box.left() + inset, low))
        path.lineTo(QPointF(box.left(), box.top() + 4))
        path.quadTo(QPointF(box.center().x(), box.top() - 3), QPointF(box.right(), box.top() + 4))
        path.lineTo(QPointF(box.right() - inset, low))
        path.closeSubpath()
        return path

    draw_petal(painter, outline(1.0), petal, outline(0.5))
    if petal is Petal.MANY:
        draw_cross(painter, QPointF(box.center().x(), box.top() + box.height() * 0.42), 3.4)
