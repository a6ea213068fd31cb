"""The frame that shows while a file is held over the window."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from PyQt5.QtCore import QRectF, Qt
from PyQt5.QtGui import QColor, QDropEvent, QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QWidget

from .look import colours, font
from .opening import CANNOT


class DropFrame(QWidget):
    """A dashed petrol frame round all, with what letting go would do."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WA_TransparentForMouseEvents)
        self.words = ""
        self._can_read = True
        self.hide()

    def show_for(self, paths: Sequence[Path], *, can_read: bool) -> None:
        """Show what letting go would do with files."""
        names = ", ".join(path.name for path in paths[:2]) + (" …" if len(paths) > 2 else "")
        self.words = f"Let go to open {names}." if can_read else CANNOT
        self._can_read = can_read
        self.setAccessibleName(self.words)
        self.setGeometry(self.parentWidget().rect())
        self.raise_()
        self.show()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw veil, frame and words."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.fillRect(self.rect(), colours.colour(colours.PAPER, 0.6))
            pen = QPen(QColor(colours.PETROL if self._can_read else colours.GREY_INK), 4)
            pen.setDashPattern([4, 3])
            painter.setPen(pen)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(10, 10, -10, -10), 12, 12)
            painter.setFont(font(22, serif=True))
            room = QRectF(0, 0, min(self.width() - 80, 640), 400)
            box = QFontMetricsF(painter.font()).boundingRect(
                room, int(Qt.AlignCenter | Qt.TextWordWrap), self.words
            )
            box.moveCenter(QRectF(self.rect()).center())
            painter.setPen(Qt.NoPen)
            painter.setBrush(QColor(colours.PAPER if self._can_read else colours.ROSE))
            painter.drawRoundedRect(box.adjusted(-26, -18, 26, 18), 9, 9)
            painter.setPen(QColor(colours.INK))
            painter.drawText(box, int(Qt.AlignCenter | Qt.TextWordWrap), self.words)
        finally:
            painter.end()


def dragged_files(event: QDropEvent) -> list[Path]:
    """Return the files that a drag carries."""
    return [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
