"""The footpath: six stops on the property's own profile, with what is done and what is missing."""

from __future__ import annotations

from typing import Final

import numpy as np
from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PyQt5.QtWidgets import QSizePolicy, QWidget

from funnelfinder.kernels import FloatArray

from ..controls import DrawnButton
from ..look import colours
from ..look.fonts import font, scaled
from ..stops import STOPS, Sign, Stop, StopState, stop_states

_RISE_PX: Final = 13.0
_LOW_PX: Final = 60
_TIPS: Final[dict[Stop, str]] = {
    Stop.GROUND: "The boundary and the grids under it. Ctrl+1.",
    Stop.MARKS: "What you know: beds, food, fences, gaps, sign. Ctrl+2.",
    Stop.TRIPS: "Where deer walk from beds to food. Ctrl+3.",
    Stop.SPOTS: "Where the ground squeezes them, and where scrapes catch them. Ctrl+4.",
    Stop.TAKE_ALONG: "Points for the GPS in your hand, and paper for the pocket. Ctrl+5.",
    Stop.LATER: "Stands, winds, season, cameras. Ctrl+6.",
}


class StopButton(DrawnButton):
    """One stop: its name above, its state below; the sign is drawn on the path."""

    def __init__(self, stop: Stop, parent: QWidget) -> None:
        super().__init__(stop.value, tip=_TIPS[stop], parent=parent)
        self.stop = stop
        self.state = StopState(stop=stop, words="", sign=Sign.NOT_YET)
        self.is_here = False
        self.is_low = False
        self.is_tight = False
        self.setObjectName(f"stop-{stop.name.lower()}")

    def show_state(self, state: StopState, *, is_here: bool) -> None:
        """Show another state."""
        self.state, self.is_here = state, is_here
        here = ", here" if is_here else ""
        self.setAccessibleName(f"{state.stop.value}: {state.words}, {state.sign.value}{here}")
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw name and state."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(3, 1, -3, -1))
            later = self.stop is Stop.LATER and not self.is_here
            ink = colours.PETROL if self.is_here else colours.GREY_INK if later else colours.INK
            painter.setPen(QColor(ink))
            is_wide = self.width() > 108
            name_px = 17 if is_wide else 14 if self.is_low else 16
            painter.setFont(font(name_px, bold=not later))
            name = QRectF(
                0, 2 if self.is_tight or self.is_low else 5, self.width(), scaled(name_px) + 6
            )
            painter.drawText(name, Qt.AlignCenter, self.text())
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15 if is_wide else 14))
            words = QRectF(
                2, name.bottom() - (3 if self.is_tight else 1), self.width() - 4, scaled(15) + 6
            )
            text = QFontMetricsF(painter.font()).elidedText(
                self.state.words, Qt.ElideRight, words.width()
            )
            if not self.is_low:
                painter.drawText(words, Qt.AlignCenter, text)
        finally:
            painter.end()


class Footpath(QWidget):
    """The stops in a row over the profile; ``gone_to`` tells the stop that was clicked."""

    gone_to = pyqtSignal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Expanding)
        self.setAccessibleName("Footpath")
        self._profile: FloatArray = np.zeros(240)
        self._here = Stop.GROUND
        self._walker: float | None = None
        self.buttons = {stop: StopButton(stop, self) for stop in STOPS}
        for stop, button in self.buttons.items():
            button.clicked.connect(lambda _checked=False, stop=stop: self.gone_to.emit(stop))
        self.show_states(stop_states(None, None, None), Stop.GROUND)

    def show_states(self, states: tuple[StopState, ...], here: Stop) -> None:
        """Show the states of all stops."""
        self._here = here
        for state in states:
            self.buttons[state.stop].show_state(state, is_here=state.stop is here)
        self.update()

    def show_profile(self, profile: FloatArray) -> None:
        """Walk over another ground."""
        self._profile = profile
        self.update()

    def show_progress(self, share: float | None) -> None:
        """Let a dot walk from this stop to the next while work runs; None ends it."""
        self._walker = share
        self.update()

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(760, 92)

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(300, 44)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the stops at even distances, wider where words are longer."""
        super().resizeEvent(event)
        is_low = self.height() < _LOW_PX
        shares = np.array([1.0, 1.02, 0.92, 1.0, 1.06, 1.2])
        if is_low:
            metrics = QFontMetricsF(font(14, bold=True))
            shares = np.array([metrics.horizontalAdvance(stop.value) + 10 for stop in STOPS])
        edges = np.concatenate([[0.0], np.cumsum(shares / shares.sum())]) * self.width()
        high = (
            self.height() - 18 if is_low else min(scaled(17) + scaled(15) + 16, self.height() - 24)
        )
        for number, button in enumerate(self.buttons.values()):
            button.is_low = is_low
            button.is_tight = self.height() < 84
            left, right = round(edges[number]), round(edges[number + 1])
            button.setGeometry(left, 0, right - left, high)

    def _y(self, x: float) -> float:
        """Return the height of the path [px]."""
        share = x / max(self.width(), 1) * (len(self._profile) - 1)
        rise = float(np.interp(share, np.arange(len(self._profile)), self._profile))
        is_low = self.height() < 84
        return self.height() - (11 if is_low else 13) - (8.0 if is_low else _RISE_PX) * rise

    def _stop_x(self, stop: Stop) -> float:
        """Return where a stop's sign is [px]."""
        button = self.buttons[stop]
        return button.x() + button.width() / 2

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the ground, the way and the signs."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            if self.height() < _LOW_PX:
                self._draw_low(painter)
                return
            points = [QPointF(x, self._y(x)) for x in range(0, self.width() + 4, 3)]
            line = QPolygonF(points)
            earth = QPainterPath()
            earth.addPolygon(line)
            earth.lineTo(self.width(), self.height())
            earth.lineTo(0, self.height())
            earth.closeSubpath()
            painter.fillPath(earth, colours.colour(colours.WELL, 0.9))
            self._draw_way(painter, points)
            for stop in STOPS:
                self._draw_sign(painter, stop)
            self._draw_walker(painter)
        finally:
            painter.end()

    def _draw_low(self, painter: QPainter) -> None:
        """Draw only the signs under the names, on a flat way."""
        y = self.height() - 11.0
        painter.setPen(QPen(QColor(colours.RULE), 1.4))
        painter.drawLine(QPointF(self._stop_x(STOPS[0]), y), QPointF(self._stop_x(STOPS[-1]), y))
        for stop in STOPS:
            painter.save()
            painter.translate(self._stop_x(stop), y)
            painter.scale(0.72, 0.72)
            self._draw_sign_at(painter, stop, QPointF(0, 0))
            painter.restore()

    def _draw_way(self, painter: QPainter, line: list[QPointF]) -> None:
        """Draw the walked way solid and the rest dashed."""
        walked = self._stop_x(self._walked_to())
        done = QPolygonF([at for at in line if at.x() <= walked])
        rest = QPolygonF([at for at in line if at.x() >= walked])
        pen = QPen(QColor(colours.INK), 2.2, Qt.SolidLine, Qt.RoundCap)
        painter.setBrush(Qt.NoBrush)
        painter.setPen(pen)
        painter.drawPolyline(done)
        dashed = QPen(QColor(colours.PALE_INK), 1.6, Qt.SolidLine, Qt.FlatCap)
        dashed.setDashPattern([3, 3])
        painter.setPen(dashed)
        painter.drawPolyline(rest)

    def _walked_to(self) -> Stop:
        """Return the last stop that is reached."""
        reached = [
            number
            for number, stop in enumerate(STOPS)
            if self.buttons[stop].state.sign is not Sign.NOT_YET or stop is self._here
        ]
        return STOPS[max(reached, default=0)]

    def _draw_sign(self, painter: QPainter, stop: Stop) -> None:
        """Draw tick, half, ringed dot or hollow."""
        x = self._stop_x(stop)
        self._draw_sign_at(painter, stop, QPointF(x, self._y(x)))

    def _draw_sign_at(self, painter: QPainter, stop: Stop, at: QPointF) -> None:
        """Draw the sign of a stop at a pixel."""
        sign = self.buttons[stop].state.sign
        painter.setBrush(QColor(colours.PAPER))
        if stop is self._here:
            painter.setPen(QPen(QColor(colours.PETROL), 2.4))
            painter.drawEllipse(at, 10, 10)
            painter.setPen(Qt.NoPen)
            painter.setBrush(QColor(colours.PETROL))
            painter.drawEllipse(at, 5, 5)
        elif sign is Sign.DONE:
            painter.setPen(QPen(QColor(colours.PAPER), 2))
            painter.setBrush(QColor(colours.INK))
            painter.drawEllipse(at, 9, 9)
            painter.setPen(QPen(QColor(colours.PAPER), 2, Qt.SolidLine, Qt.RoundCap))
            tick = [QPointF(-3.6, 0.2), QPointF(-1.0, 3.0), QPointF(3.8, -3.0)]
            painter.drawPolyline(QPolygonF([at + step for step in tick]))
        elif sign is Sign.WAITING:
            painter.setPen(QPen(QColor(colours.INK), 2))
            painter.drawEllipse(at, 8, 8)
            painter.setBrush(QColor(colours.INK))
            painter.drawPie(QRectF(at.x() - 8, at.y() - 8, 16, 16), 90 * 16, 180 * 16)
        else:
            painter.setPen(QPen(QColor(colours.PALE_INK), 1.8))
            painter.drawEllipse(at, 6, 6)

    def _draw_walker(self, painter: QPainter) -> None:
        """Draw the dot that walks while work runs."""
        if self._walker is None:
            return
        number = STOPS.index(self._here)
        start = self._stop_x(self._here)
        end = self._stop_x(STOPS[min(number + 1, len(STOPS) - 1)])
        x = start + (end - start) * min(max(self._walker, 0.0), 1.0)
        painter.setPen(QPen(QColor(colours.PAPER), 2))
        painter.setBrush(QColor(colours.PETROL))
        painter.drawEllipse(QPointF(x, self._y(x)), 6, 6)
