"""A row of a list with a name and words below it, as tall as the words need."""

from __future__ import annotations

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QFontMetricsF, QResizeEvent
from PyQt5.QtWidgets import QSizePolicy

from ..look.fonts import font, scaled
from .buttons import DrawnButton

#: How the words below the name are set.
WRAPS = int(Qt.AlignLeft | Qt.AlignTop | Qt.TextWordWrap)


class TallRow(DrawnButton):
    """Grows and shrinks with its words; what it looks like is drawn by those that are one.

    ``left_px`` and ``right_px`` are the room beside the words, ``name_px`` the size of the name,
    ``least_px`` the least height and ``narrow_px`` the least width.
    """

    left_px = 40.0
    right_px = 8.0
    name_px = 16.0
    least_px = 0
    narrow_px = 160

    def __init__(self, name: str, *, tip: str = "") -> None:
        super().__init__(name, tip=tip)
        self._line = ""
        policy = QSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def line(self) -> str:
        """The words under the name."""
        return self._line

    def set_line(self, line: str) -> None:
        """Put words under the name."""
        self._line = line
        self.setFixedHeight(self.heightForWidth(self.width()))
        self.update()

    def heightForWidth(self, width: int) -> int:
        """Return the height that the words need."""
        room = QRectF(0, 0, max(width - self.left_px - self.right_px, 80), 1000)
        words = QFontMetricsF(font(15)).boundingRect(room, WRAPS, self._line).height()
        return max(round(scaled(self.name_px) + words) + 20, self.least_px)

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(250, self.heightForWidth(max(self.width(), 200)))

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(self.narrow_px, self.heightForWidth(max(self.width(), self.narrow_px)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the width."""
        self.setFixedHeight(self.heightForWidth(self.width()))
