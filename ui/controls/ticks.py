"""A tick in a box of our own drawing, with its words."""

from __future__ import annotations

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PyQt5.QtWidgets import QSizePolicy, QWidget

from ..look import colours
from ..look.fonts import font
from .buttons import DrawnButton

_BOX = 20.0


class Tick(DrawnButton):
    """A box to tick; round ones choose one of several in a group."""

    def __init__(
        self,
        word: str,
        *,
        tip: str = "",
        is_round: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(word, tip=tip, parent=parent)
        self._is_round = is_round
        self.setCheckable(True)
        self.setAutoExclusive(is_round)
        self.setSizePolicy(QSizePolicy.Preferred, QSizePolicy.Fixed)

    def sizeHint(self) -> QSize:
        """Return room for box and words, 36 high at least."""
        metrics = QFontMetricsF(font(16))
        wide = metrics.horizontalAdvance(self.text())
        return QSize(round(wide + _BOX) + 18, max(round(metrics.height()) + 8, 34))

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(40, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw box, tick and words."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            box = QRectF(2, (self.height() - _BOX) / 2, _BOX, _BOX)
            self._draw_box(painter, box)
            painter.setPen(QColor(colours.INK if self.isEnabled() else colours.PALE_INK))
            painter.setFont(font(16))
            words = QRectF(box.right() + 11, 0, self.width() - box.right() - 11, self.height())
            text = QFontMetricsF(painter.font()).elidedText(
                self.text(), Qt.ElideRight, words.width()
            )
            painter.drawText(words, int(Qt.AlignVCenter | Qt.AlignLeft), text)
        finally:
            painter.end()

    def _draw_box(self, painter: QPainter, box: QRectF) -> None:
        """Draw the box or ring with what is in it."""
        petrol = QColor(colours.PETROL if self.isEnabled() else colours.PALE_INK)
        if self.hasFocus():
            painter.setBrush(Qt.NoBrush)
            painter.setPen(QPen(QColor(colours.PETROL), 2))
            painter.drawRoundedRect(box.adjusted(-2, -2, 2, 2), 7, 7)
        is_filled = self.isChecked() and not self._is_round
        painter.setPen(QPen(petrol if self.isChecked() else QColor(colours.PALE_INK), 1.6))
        painter.setBrush(petrol if is_filled else QColor(colours.PAPER))
        inner = box.adjusted(1.5, 1.5, -1.5, -1.5)
        if self._is_round:
            painter.drawEllipse(inner)
            if self.isChecked():
                painter.setBrush(petrol)
                painter.setPen(Qt.NoPen)
                painter.drawEllipse(box.center(), 5, 5)
            return
        painter.drawRoundedRect(inner, 4.5, 4.5)
        if self.isChecked():
            painter.setPen(QPen(QColor(colours.WHITE), 2.2, Qt.SolidLine, Qt.RoundCap))
            steps = ((-4.2, 0.4), (-1.2, 3.4), (4.6, -3.4))
            painter.drawPolyline(QPolygonF([box.center() + QPointF(x, y) for x, y in steps]))
