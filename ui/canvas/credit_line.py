"""The credit line of what the map shows, small in a corner."""

from __future__ import annotations

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent
from PyQt5.QtWidgets import QWidget

from ..look import colours
from ..look.fonts import font

_SIZE_PX = 14
_EDGE = 8


class CreditLine(QWidget):
    """One line; what does not fit ends in dots, and the tooltip says all."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.text = ""
        self.setAccessibleName("Where the map is from")
        self.hide()

    def say(self, lines: tuple[str, ...]) -> None:
        """Say credit lines; none hides it."""
        self.text = " · ".join(line.rstrip(".") for line in lines)
        self.setToolTip("\n".join(lines))
        self.setAccessibleDescription(self.text)
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for the words in one line."""
        metrics = QFontMetricsF(font(_SIZE_PX))
        wide = metrics.horizontalAdvance(self.text)
        return QSize(round(wide) + 2 * _EDGE + 2, round(metrics.height()) + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the words on thin paper."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.setPen(Qt.NoPen)
            painter.setBrush(colours.colour(colours.PAPER, 0.86))
            painter.drawRoundedRect(QRectF(self.rect()), 4, 4)
            face = font(_SIZE_PX)
            painter.setFont(face)
            painter.setPen(QColor(colours.GREY_INK))
            room = QRectF(self.rect()).adjusted(_EDGE, 0, -_EDGE, 0)
            words = QFontMetricsF(face).elidedText(self.text, Qt.ElideRight, room.width())
            painter.drawText(room, int(Qt.AlignVCenter | Qt.AlignLeft), words)
        finally:
            painter.end()
