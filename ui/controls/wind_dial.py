"""The wind dial: 16 petals by where the wind comes from, and the arrow of the wind that is set.

The petals are told apart by shape alone: solid, half-hatched, hollow with a ×.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import Enum
from typing import Final

from PyQt5.QtCore import QEvent, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PyQt5.QtWidgets import QSizePolicy, QToolTip, QWidget

from funnelfinder.wind import said_compass

from ..look import colours
from ..look.fonts import font, scaled

N_PETALS: Final = 16
STEP_DEG: Final = 22.5
_FINE_DEG: Final = 5.0
#: Radii as shares of the dial's.
_INNER: Final = 0.36
_OUTER: Final = 0.78
_LETTERS_AT: Final = 0.90
_HALF_DEG: Final = 9.4
_HATCH_PX: Final = 4.0
_SIDE_PX: Final = 236


class Petal(Enum):
    """How many trips a wind alerts; the value is said to those who cannot see the dial."""

    FEW = "few"
    SOME = "some"
    MANY = "many"
    UNKNOWN = "not known yet"


class WindDial(QWidget):
    """Sixteen petals and an arrow that can be dragged.

    ``turned`` tells where the wind comes from [deg true] while the arrow is moved, ``sped`` that
    the arrow keys ask for a mile an hour more or less, ``pointed`` the petal under the pointer or
    the keys (-1 for none).
    """

    turned = pyqtSignal(float)
    sped = pyqtSignal(int)
    pointed = pyqtSignal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        self.setAccessibleName("Wind dial")
        self._petals: tuple[Petal, ...] = (Petal.UNKNOWN,) * N_PETALS
        self._tips: tuple[str, ...] = ("",) * N_PETALS
        self._from_deg: float = 315.0
        self._words: tuple[str, str] = ("", "")
        self._hovered = -1
        self._is_held = False

    # What is shown

    def show_petals(self, petals: Sequence[Petal], tips: Sequence[str]) -> None:
        """Show what each wind is worth, and the words behind each petal."""
        self._petals, self._tips = tuple(petals), tuple(tips)
        self._say()
        self.update()

    def show_wind(self, from_deg: float, first: str, second: str) -> None:
        """Show the wind that is set (NaN: all over), and two short lines in the middle."""
        self._from_deg, self._words = from_deg, (first, second)
        self._say()
        self.update()

    @property
    def petals(self) -> tuple[Petal, ...]:
        """What is shown, from north clockwise."""
        return self._petals

    @property
    def from_deg(self) -> float:
        """Where the wind that is set comes from [deg true]; NaN where it is all over."""
        return self._from_deg

    def tip_of(self, number: int) -> str:
        """Return the words behind a petal."""
        return self._tips[number % N_PETALS]

    def _say(self) -> None:
        """Tell screen readers what the arrow points at."""
        if math.isnan(self._from_deg):
            self.setAccessibleDescription(f"{self._words[0]}, {self._words[1]}")
        else:
            here = round(self._from_deg / STEP_DEG) % N_PETALS
            said = f"{said_compass(self._from_deg)}, {self._words[1]}. {self._tips[here]}"
            self.setAccessibleDescription(said.strip())

    # Places

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(_SIDE_PX, _SIDE_PX)

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(180, _SIDE_PX)

    def _radius(self) -> float:
        """Return the radius of the whole dial [px]."""
        return min(self.width(), self.height()) / 2 - 3

    def _middle(self) -> QPointF:
        """Return the middle [px]."""
        return QPointF(self.width() / 2, self.height() / 2)

    def place(self, deg: float, share: float) -> QPointF:
        """Return the place of a direction at a share of the radius [px]."""
        turn, far = math.radians(deg), self._radius() * share
        return self._middle() + QPointF(far * math.sin(turn), -far * math.cos(turn))

    def _deg_at(self, at: QPointF) -> float:
        """Return the direction of a pixel from the middle [deg]."""
        offset = at - self._middle()
        return math.degrees(math.atan2(offset.x(), -offset.y())) % 360.0

    def petal_at(self, at: QPointF) -> int:
        """Return the petal under a pixel, -1 for none."""
        offset = at - self._middle()
        far = math.hypot(offset.x(), offset.y()) / max(self._radius(), 1.0)
        if not _INNER - 0.04 <= far <= _OUTER + 0.04:
            return -1
        return round(self._deg_at(at) / STEP_DEG) % N_PETALS

    # Hand and keys

    def event(self, event: QEvent) -> bool:
        """Say the numbers behind the petal under the pointer."""
        if event.type() == QEvent.ToolTip and isinstance(event, QHelpEvent):
            number = self.petal_at(QPointF(event.pos()))
            if number >= 0 and self._tips[number]:
                QToolTip.showText(event.globalPos(), self._tips[number], self)
            else:
                QToolTip.hideText()
            return True
        return bool(super().event(event))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the arrow; a click anywhere turns it there."""
        if event.button() == Qt.LeftButton:
            self._is_held = True
            self._turn_to(event.localPos())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Turn the arrow, or point at a petal."""
        if self._is_held:
            self._turn_to(event.localPos())
        self._hover(self.petal_at(event.localPos()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the arrow go."""
        self._is_held = False

    def leaveEvent(self, event: QEvent) -> None:
        """Point at no petal."""
        self._hover(-1)

    def _hover(self, number: int) -> None:
        """Point at a petal."""
        if number != self._hovered:
            self._hovered = number
            self.pointed.emit(number)
            self.update()

    def _turn_to(self, at: QPointF) -> None:
        """Turn the arrow to a pixel, in steps of five degrees."""
        offset = at - self._middle()
        if math.hypot(offset.x(), offset.y()) > 4:
            self.turned.emit(round(self._deg_at(at) / _FINE_DEG) * _FINE_DEG % 360.0)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn by petals (Shift: by five degrees), blow harder or less."""
        ways: dict[int, int] = {Qt.Key_Left: -1, Qt.Key_Right: 1}
        speeds: dict[int, int] = {Qt.Key_Up: 1, Qt.Key_Down: -1}
        if event.key() in ways:
            way = ways[event.key()]
            here = 0.0 if math.isnan(self._from_deg) else self._from_deg
            if event.modifiers() & Qt.ShiftModifier:
                turned = here + way * _FINE_DEG
            else:
                turned = (round(here / STEP_DEG) + way) * STEP_DEG
            self.turned.emit(turned % 360.0)
        elif event.key() in speeds:
            self.sped.emit(speeds[event.key()])
        else:
            super().keyPressEvent(event)

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw petals, letters, arrow and the words in the middle."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            for number, petal in enumerate(self._petals):
                draw_petal(
                    painter, self.petal_path(number), petal, self.petal_path(number, from_share=0.5)
                )
                if petal is Petal.MANY:
                    draw_cross(painter, self.place(number * STEP_DEG, (_INNER + _OUTER) / 2))
            if self._hovered >= 0:
                painter.setBrush(Qt.NoBrush)
                painter.setPen(QPen(QColor(colours.PETROL), 2.4))
                painter.drawPath(self.petal_path(self._hovered))
            self._draw_letters(painter)
            self._draw_arrow(painter)
            self._draw_words(painter)
            if self.hasFocus():
                painter.setBrush(Qt.NoBrush)
                painter.setPen(QPen(QColor(colours.PETROL), 2.0))
                painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 7, 7)
        finally:
            painter.end()

    def petal_path(self, number: int, *, from_share: float = 0.0) -> QPainterPath:
        """Return the outline of a petal [px]: broad at the rim, narrow at the middle.

        ``from_share`` leaves out that share of it next to the middle.
        """
        deg = number * STEP_DEG
        low = _INNER + from_share * (_OUTER - _INNER)
        narrow = _HALF_DEG * (0.8 + 0.2 * from_share)
        path = QPainterPath(self.place(deg - narrow, low))
        path.lineTo(self.place(deg - _HALF_DEG, _OUTER - 0.06))
        path.quadTo(self.place(deg, _OUTER + 0.06), self.place(deg + _HALF_DEG, _OUTER - 0.06))
        path.lineTo(self.place(deg + narrow, low))
        path.closeSubpath()
        return path

    def _draw_letters(self, painter: QPainter) -> None:
        """Draw the four quarters of the compass."""
        painter.setFont(font(14, bold=True))
        painter.setPen(QColor(colours.INK))
        for number, letter in enumerate("NESW"):
            at = self.place(number * 90.0, _LETTERS_AT + 0.02)
            box = QRectF(at.x() - 12, at.y() - 10, 24, 20)
            painter.drawText(box, Qt.AlignCenter, letter)

    def _draw_arrow(self, painter: QPainter) -> None:
        """Draw the arrow from the rim to the middle, the way the wind blows."""
        if math.isnan(self._from_deg):
            return
        tail, tip = self.place(self._from_deg, 0.93), self.place(self._from_deg, _INNER - 0.02)
        for value, more in ((colours.PAPER, 4.0), (colours.PETROL, 0.0)):
            painter.setPen(QPen(QColor(value), 3.2 + more, Qt.SolidLine, Qt.RoundCap))
            painter.drawLine(tail, tip)
            painter.setBrush(QColor(value))
            wing = 7.0 + more / 2
            painter.setPen(QPen(QColor(value), more / 2 + 0.1))
            painter.drawPolygon(_head(self._from_deg, tip, wing))
            painter.drawEllipse(tail, 6.0 + more / 2, 6.0 + more / 2)

    def _draw_words(self, painter: QPainter) -> None:
        """Draw the two lines in the middle."""
        middle = self._middle()
        half = self._radius() * _INNER - 6
        painter.setPen(QColor(colours.PETROL))
        painter.setFont(font(17, bold=True))
        top = QRectF(middle.x() - half, middle.y() - scaled(17) - 4, 2 * half, scaled(17) + 6)
        painter.drawText(top, Qt.AlignCenter, self._words[0])
        painter.setPen(QColor(colours.GREY_INK))
        painter.setFont(font(14))
        low = QRectF(middle.x() - half, top.bottom(), 2 * half, scaled(14) + 6)
        painter.drawText(low, Qt.AlignCenter, self._words[1])


def draw_petal(painter: QPainter, path: QPainterPath, petal: Petal, half: QPainterPath) -> None:
    """Draw one petal: solid, its outer half hatched, hollow, or dotted where nothing is known.

    ``half`` is the outline of the half that is hatched.
    """
    ink = QColor(colours.INK)
    painter.setPen(QPen(ink, 1.4, Qt.DotLine if petal is Petal.UNKNOWN else Qt.SolidLine))
    painter.setBrush(ink if petal is Petal.FEW else QColor(colours.PAPER))
    painter.drawPath(path)
    if petal is Petal.SOME:
        _hatch(painter, half)


def _hatch(painter: QPainter, path: QPainterPath) -> None:
    """Hatch the half of a petal."""
    box = path.boundingRect()
    painter.save()
    painter.setClipPath(path)
    painter.setPen(QPen(QColor(colours.INK), 1.5))
    x = box.left() - box.height()
    while x < box.right():
        painter.drawLine(QPointF(x, box.bottom()), QPointF(x + box.height(), box.top()))
        x += _HATCH_PX
    painter.restore()
    painter.setBrush(Qt.NoBrush)
    painter.drawPath(path)


def draw_cross(painter: QPainter, at: QPointF, half: float = 4.2) -> None:
    """Draw the × of a wind that alerts many."""
    painter.setPen(QPen(QColor(colours.INK), 1.8, Qt.SolidLine, Qt.RoundCap))
    painter.drawLine(at + QPointF(-half, -half), at + QPointF(half, half))
    painter.drawLine(at + QPointF(-half, half), at + QPointF(half, -half))


def _head(from_deg: float, tip: QPointF, wing: float) -> QPolygonF:
    """Return the arrowhead at a tip that points where the wind blows."""
    turn = math.radians(from_deg + 180.0)
    ahead = QPointF(math.sin(turn), -math.cos(turn))
    across = QPointF(-ahead.y(), ahead.x())
    back = tip - ahead * wing * 0.6
    return QPolygonF([tip + ahead * wing, back + across * wing * 0.8, back - across * wing * 0.8])
