"""One stand in a list: its petal on the wind that is set, its name, and what it is worth."""

from __future__ import annotations

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt
from PyQt5.QtGui import (
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QResizeEvent,
)
from PyQt5.QtWidgets import QSizePolicy

from ..controls import DrawnButton
from ..controls.wind_dial import Petal, draw_cross, draw_petal
from ..look import colours
from ..look.fonts import font, scaled

_SIGN_PX = 24.0
_LEFT_PX = 40.0
_WRAPS = int(Qt.AlignLeft | Qt.AlignTop | Qt.TextWordWrap)


class SitRow(DrawnButton):
    """A stand that can be taken in hand."""

    def __init__(self, name: str) -> None:
        super().__init__(name, tip="Click to see it on the map.")
        self.name = name
        self._figure, self._line, self._petal = "", "", Petal.UNKNOWN
        self.setObjectName(f"sit-{name}")
        self.setCheckable(True)
        policy = QSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def line(self) -> str:
        """The words under the name."""
        return self._line

    @property
    def petal(self) -> Petal:
        """How many trips are alerted on the wind that is set."""
        return self._petal

    def show_sit(self, title: str, figure: str, line: str, petal: Petal) -> None:
        """Show name, figure at the right, words, and petal."""
        self.setText(title)
        self._figure, self._line, self._petal = figure, line, petal
        self.setAccessibleName(f"{title}: {figure} {line} Alerts {petal.value}.")
        self.setFixedHeight(self.heightForWidth(self.width()))
        self.update()

    def heightForWidth(self, width: int) -> int:
        """Return the height that the words need."""
        room = QRectF(0, 0, max(width - _LEFT_PX - 8, 80), 1000)
        words = QFontMetricsF(font(15)).boundingRect(room, _WRAPS, self._line).height()
        return round(scaled(16) + words) + 20

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(250, self.heightForWidth(max(self.width(), 200)))

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(160, self.heightForWidth(max(self.width(), 160)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the width."""
        self.setFixedHeight(self.heightForWidth(self.width()))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw petal, name, figure and words."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(0, 1, 0, -1))
            draw_swatch(painter, QRectF(9, 8, _SIGN_PX * 0.8, _SIGN_PX), self._petal)
            wide = self.width() - _LEFT_PX - 8
            first = QRectF(_LEFT_PX, 6, wide, scaled(16) + 4)
            painter.setFont(font(16, bold=True))
            painter.setPen(QColor(colours.PETROL if self.isChecked() else colours.INK))
            painter.drawText(first, int(Qt.AlignLeft | Qt.AlignVCenter), self.text())
            painter.setPen(QColor(colours.INK))
            painter.drawText(first, int(Qt.AlignRight | Qt.AlignVCenter), self._figure)
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15))
            painter.drawText(QRectF(_LEFT_PX, first.bottom() + 1, wide, 1000), _WRAPS, self._line)
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
