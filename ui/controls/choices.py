"""Choices between a few: segments side by side, and a slider of five stops."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PyQt5.QtCore import QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QButtonGroup, QHBoxLayout, QSizePolicy, QWidget

from ..look import colours
from ..look.fonts import font, scaled
from .buttons import DrawnButton

#: How much a mark is used relative to the others, and how that is said.
USE_STOPS: Final = (0.25, 0.5, 1.0, 2.0, 4.0)
USE_WORDS: Final = (
    "seldom",
    "less than the others",
    "like the others",
    "more than the others",
    "mostly",
)


class _Segment(DrawnButton):
    """One of several words in a row."""

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(72, 36)

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(48, 36)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the word, on petrol when chosen."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            box = QRectF(self.rect()).adjusted(2, 2, -2, -2)
            if self.isChecked():
                painter.setPen(Qt.NoPen)
                painter.setBrush(QColor(colours.PETROL))
                painter.drawRoundedRect(box, 5, 5)
            if self.hasFocus():
                painter.setBrush(Qt.NoBrush)
                painter.setPen(QPen(QColor(colours.INK), 2))
                painter.drawRoundedRect(box.adjusted(2, 2, -2, -2), 4, 4)
            painter.setPen(QColor(colours.WHITE if self.isChecked() else colours.INK))
            painter.setFont(font(16, bold=self.isChecked()))
            painter.drawText(box, Qt.AlignCenter, self.text())
        finally:
            painter.end()


class Segments(QWidget):
    """A choice of one word among a few in a row."""

    chosen = pyqtSignal(str)

    def __init__(self, words: Sequence[str], *, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(1, 1, 1, 1)
        row.setSpacing(0)
        self._group = QButtonGroup(self)
        self._words = tuple(words)
        for number, word in enumerate(words):
            button = _Segment(word.capitalize(), parent=self)
            button.setAccessibleName(f"{name}: {word}")
            button.setCheckable(True)
            button.setSizePolicy(QSizePolicy.Preferred, QSizePolicy.Fixed)
            self._group.addButton(button, number)
            row.addWidget(button, 1)
        self._group.buttonClicked[int].connect(lambda number: self.chosen.emit(self._words[number]))

    def choose(self, word: str) -> None:
        """Show a choice without telling it."""
        self._group.button(self._words.index(word)).setChecked(True)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the frame."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.setPen(QPen(QColor(colours.GREY_INK), 1.2))
            painter.setBrush(QColor(colours.PAPER))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 7, 7)
        finally:
            painter.end()


class FiveStops(QWidget):
    """A slider with a few stops.

    ``moved`` tells the stop while dragging, ``chosen`` when it is let go.
    """

    moved = pyqtSignal(int)
    chosen = pyqtSignal(int)

    def __init__(self, *, name: str, n_stops: int = 5, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.StrongFocus)
        self.setCursor(Qt.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        self._n_stops = n_stops
        self._stop = n_stops // 2

    @property
    def stop(self) -> int:
        """The stop that is chosen."""
        return self._stop

    def choose(self, stop: int) -> None:
        """Show a stop without telling it."""
        self._stop = min(max(stop, 0), self._n_stops - 1)
        self.update()

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(200, 40)

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(120, 36)

    def x_of(self, stop: int) -> float:
        """Return where a stop is [px]."""
        return 12 + (self.width() - 24) * stop / (self._n_stops - 1)

    def _stop_at(self, x: float) -> int:
        """Return the stop nearest to a pixel."""
        share = (x - 12) / max(self.width() - 24, 1)
        return min(max(round(share * (self._n_stops - 1)), 0), self._n_stops - 1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold."""
        self._move_to(self._stop_at(event.localPos().x()))

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move along."""
        if event.buttons() & Qt.LeftButton:
            self._move_to(self._stop_at(event.localPos().x()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        self.chosen.emit(self._stop)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by the arrows."""
        steps: dict[int, int] = {
            Qt.Key_Left: -1,
            Qt.Key_Down: -1,
            Qt.Key_Right: 1,
            Qt.Key_Up: 1,
        }
        step = steps.get(event.key())
        if step is None:
            super().keyPressEvent(event)
            return
        before = self._stop
        self._move_to(min(max(self._stop + step, 0), self._n_stops - 1))
        if self._stop != before:
            self.chosen.emit(self._stop)

    def _move_to(self, stop: int) -> None:
        """Show and tell a stop."""
        if stop != self._stop:
            self._stop = stop
            self.moved.emit(stop)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the groove, its stops and the knob."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            y = 15.0
            left, here, right = self.x_of(0), self.x_of(self._stop), self.x_of(self._n_stops - 1)
            painter.setPen(QPen(QColor(colours.PRESS), 5, Qt.SolidLine, Qt.RoundCap))
            painter.drawLine(int(left), int(y), int(right), int(y))
            painter.setPen(QPen(QColor(colours.PETROL), 5, Qt.SolidLine, Qt.RoundCap))
            painter.drawLine(int(left), int(y), int(here), int(y))
            painter.setPen(QPen(QColor(colours.GREY_INK), 1.2))
            for stop in range(self._n_stops):
                x = int(self.x_of(stop))
                painter.drawLine(x, 28, x, 33)
            knob = QRectF(here - 10, y - 10, 20, 20)
            painter.setPen(QPen(QColor(colours.PETROL), 2))
            painter.setBrush(QColor(colours.WHITE))
            painter.drawEllipse(knob)
            if self.hasFocus():
                painter.setBrush(Qt.NoBrush)
                painter.drawEllipse(knob.adjusted(-3, -3, 3, 3))
        finally:
            painter.end()


def nearest_use(weight: float) -> int:
    """Return the stop of the slider nearest to a weight.

    Examples
    --------
    >>> nearest_use(1.0), nearest_use(3.9)
    (2, 4)
    """
    return min(range(len(USE_STOPS)), key=lambda i: abs(USE_STOPS[i] - weight))


def row_height() -> int:
    """Return the height of a row of a list at the person's text size."""
    return max(scaled(16) + 26, 40)
