"""What lies on the map: cards of paper with one soft shadow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QFontMetricsF,
    QLinearGradient,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from PyQt5.QtWidgets import QLabel, QVBoxLayout, QWidget

from funnelfinder.shading import LEGEND_TICKS, passage_position, passage_rgba
from funnelfinder.units import FOOT_M, MILE_M, YARD_M

from ..controls import IconWord, label, rule, semibold
from ..look import colours
from ..look.fonts import font, scaled

SHADOW: Final = 5
_RADIUS: Final = 7.0


class MapCard(QWidget):
    """A piece of paper on the map; its margins hold the shadow."""

    def __init__(self, parent: QWidget | None = None, *, ground: str = colours.PAPER) -> None:
        super().__init__(parent)
        self._ground = ground

    def set_ground(self, ground: str) -> None:
        """Take another paper (rose where something went wrong)."""
        self._ground = ground
        self.update()

    def paper(self) -> QRectF:
        """Return where the paper is."""
        return QRectF(self.rect()).adjusted(SHADOW, SHADOW, -SHADOW, -SHADOW)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw shadow and paper."""
        painter = QPainter(self)
        try:
            self.draw_paper(painter)
        finally:
            painter.end()

    def draw_paper(self, painter: QPainter) -> None:
        """Draw shadow and paper with a painter of this widget."""
        painter.setRenderHint(QPainter.Antialiasing, True)
        painter.setPen(Qt.NoPen)
        for grow in range(SHADOW, 0, -1):
            painter.setBrush(QColor(40, 36, 30, 6))
            box = self.paper().adjusted(-grow, -grow + 1.5, grow, grow + 1.5)
            painter.drawRoundedRect(box, _RADIUS + grow, _RADIUS + grow)
        painter.setPen(QPen(QColor(colours.RULE), 1))
        painter.setBrush(QColor(self._ground))
        painter.drawRoundedRect(self.paper().adjusted(0.5, 0.5, -0.5, -0.5), _RADIUS, _RADIUS)


class HintLine(MapCard):
    """One line at the top of the map: what the hand can do now."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(SHADOW + 13, SHADOW + 7, SHADOW + 13, SHADOW + 8)
        self._text = ""
        # Not words that fix their height: `fit` sizes the card from them.
        self._words = QLabel()
        self._words.setProperty("kind", "plain")
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.RichText)
        column.addWidget(self._words)
        self.setAccessibleName("What the hand can do now")

    @property
    def text(self) -> str:
        """What it says."""
        return self._text

    def say(self, text: str) -> None:
        """Say something else; nothing hides the line."""
        self._text = text
        self._words.setText(semibold(text))
        self.setAccessibleDescription(text.replace("<b>", "").replace("</b>", ""))
        self.setVisible(bool(text))

    def width_wanted(self) -> int:
        """Return how wide the words are in one line."""
        plain = self._text.replace("<b>", "").replace("</b>", "")
        wide = QFontMetricsF(font(16, bold=True)).horizontalAdvance(plain)
        return round(wide) + 2 * SHADOW + 28

    def fit(self, room: int) -> None:
        """Take the size that the words need in a width, one line if they fit."""
        width = max(min(self.width_wanted(), room), 80)
        inner = width - 2 * SHADOW - 26
        self.resize(width, self._words.heightForWidth(inner) + 2 * SHADOW + 15)


class Tools(MapCard):
    """Show, Closer, Farther, Whole, Measure."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(SHADOW + 3, SHADOW + 3, SHADOW + 3, SHADOW + 3)
        column.setSpacing(0)
        self.buttons: dict[str, IconWord] = {}
        tips = {
            "Show": "Choose what the map shows, and how strongly.",
            "Closer": "Come closer. Key +, or the wheel.",
            "Farther": "Go farther away. Key −, or the wheel.",
            "Whole": "See the whole property. Key 0.",
            "Measure": "Measure yards, bearings and acres. Key M.",
        }
        for number, (word, tip) in enumerate(tips.items()):
            if number:
                column.addWidget(rule())
            button = IconWord(word.lower(), word, tip=tip, parent=self)
            self.buttons[word] = button
            column.addWidget(button)
        self.buttons["Measure"].setCheckable(True)
        self.buttons["Show"].setCheckable(True)

    def set_low(self, is_low: bool) -> None:
        """Take less height in low windows."""
        for button in self.buttons.values():
            button.set_low(is_low)
        self.layout().invalidate()


class ScaleCard(MapCard):
    """Scale bar in yards or miles, and where north is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._px_m = 1.0
        self._is_metric = False
        self._north_deg = 0.0
        self.setAccessibleName("Scale and north")

    def sizeHint(self) -> QSize:
        """Return its size."""
        return QSize(272 + 2 * SHADOW, scaled(14) + 34 + 2 * SHADOW)

    def set_scale(self, px_m: float, *, is_metric: bool, north_deg: float = 0.0) -> None:
        """Take another distance; ``north_deg`` is how far true north is from the map's."""
        self._px_m, self._is_metric, self._north_deg = px_m, is_metric, north_deg
        self.setAccessibleDescription(self.words())
        self.update()

    def words(self) -> str:
        """Return what the bar says."""
        length, unit, _ = nice_length(self._px_m * 180, is_metric=self._is_metric)
        return f"The bar is {length:g} {unit} long."

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the arrow and the bar."""
        painter = QPainter(self)
        try:
            self.draw_paper(painter)
            paper = self.paper()
            self._draw_north(painter, QPointF(paper.left() + 19, paper.center().y()))
            self._draw_bar(painter, paper.left() + 44, paper.bottom() - 13)
        finally:
            painter.end()

    def _draw_north(self, painter: QPainter, middle: QPointF) -> None:
        """Draw the arrow to true north."""
        painter.save()
        painter.translate(middle)
        painter.rotate(self._north_deg)
        painter.setPen(QPen(QColor(colours.INK), 2.0, Qt.SolidLine, Qt.RoundCap))
        painter.drawLine(QPointF(0, 14), QPointF(0, -8))
        painter.setBrush(QColor(colours.INK))
        painter.setPen(Qt.NoPen)
        painter.drawPolygon(QPointF(0, -16), QPointF(-5.5, -5), QPointF(5.5, -5))
        painter.restore()
        painter.setPen(QColor(colours.INK))
        painter.setFont(font(14, bold=True))
        painter.drawText(middle + QPointF(6, 15), "N")

    def _draw_bar(self, painter: QPainter, left: float, y: float) -> None:
        """Draw the bar in black and white by thirds or quarters, with its figures."""
        length, unit, unit_m = nice_length(self._px_m * 195, is_metric=self._is_metric)
        parts = 4 if f"{length:g}"[0] in "248" else 5 if f"{length:g}"[0] == "5" else 3
        parts = {1: 4}.get(int(f"{length:g}".lstrip("0.")[0]), parts)
        wide = length * unit_m / self._px_m
        painter.setFont(font(14))
        for part in range(parts):
            box = QRectF(left + wide * part / parts, y - 5, wide / parts, 5)
            painter.setPen(QPen(QColor(colours.INK), 1))
            painter.setBrush(QColor(colours.INK if part % 2 == 0 else colours.PAPER))
            painter.drawRect(box)
        metrics = QFontMetricsF(painter.font())
        for share in (0.0, 0.5, 1.0):
            text = f"{length * share:g}" + (f" {unit}" if share == 1.0 else "")
            number = f"{length * share:g}"
            x = left + wide * share - metrics.horizontalAdvance(number) / 2
            painter.drawText(QPointF(max(x, left - 4), y - 11), text)


def nice_length(longest_m: float, *, is_metric: bool) -> tuple[float, str, float]:
    """Return a round length that fits, its unit, and how many metres the unit is.

    Examples
    --------
    >>> nice_length(300.0, is_metric=False)[:2]
    (300, 'yd')
    >>> nice_length(3000.0, is_metric=False)[:2]
    (1, 'mi')
    """
    units = (("km", 1000.0), ("m", 1.0)) if is_metric else (("mi", MILE_M), ("yd", YARD_M))
    unit, unit_m = units[0] if longest_m >= units[0][1] else units[1]
    longest = longest_m / unit_m
    power = 10.0 ** math.floor(math.log10(max(longest, 1e-9)))
    length = max(n * power for n in (1, 2, 3, 4, 5) if n * power <= longest * 1.0000001)
    return (int(length) if length >= 1 else length), unit, unit_m


class LegendCard(MapCard):
    """What the warm colours mean; pressing it shows the bare ground for a moment."""

    held = pyqtSignal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words: Sequence[str] = ("Of 100 trips, within", "30 yards of a place")
        self._is_rough = False
        self.setCursor(Qt.PointingHandCursor)
        self.setAccessibleName("Passage legend")
        self.setToolTip("Hold to see the bare ground for a moment. Key V.")

    def set_words(self, words: Sequence[str], *, is_rough: bool = False) -> None:
        """Say what is shown; rough figures are grey."""
        self._words, self._is_rough = words, is_rough
        self.setAccessibleDescription(" ".join(words))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Return its size."""
        metrics = QFontMetricsF(font(14))
        wide = max((metrics.horizontalAdvance(word) for word in self._words), default=0.0)
        more = round(0.92 * metrics.height()) * max(len(self._words) - 2, 0)
        return QSize(round(wide) + 252 + 2 * SHADOW, scaled(14) + 34 + more + 2 * SHADOW)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Show the bare ground."""
        self.held.emit(True)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let passage come back."""
        self.held.emit(False)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the words and the ramp with its ticks."""
        painter = QPainter(self)
        try:
            self.draw_paper(painter)
            paper = self.paper()
            painter.setPen(QColor(colours.INK))
            painter.setFont(font(14))
            metrics = QFontMetricsF(painter.font())
            wide = max((metrics.horizontalAdvance(word) for word in self._words), default=0.0)
            step = metrics.height() * 0.92
            top = paper.center().y() - step * (len(self._words) / 2 - 0.75)
            for number, word in enumerate(self._words):
                painter.drawText(QPointF(paper.left() + 13, top + number * step), word)
            ramp = QRectF(paper.left() + 30 + wide, paper.bottom() - 21, 205, 11)
            self._draw_ramp(painter, ramp)
        finally:
            painter.end()

    def _draw_ramp(self, painter: QPainter, box: QRectF) -> None:
        """Draw passage over level woods, and its ticks."""
        low, high = -0.1, 1.0
        gradient = QLinearGradient(box.topLeft(), box.topRight())
        for step in range(24):
            u = low + (high - low) * step / 23
            red, green, blue, cover = (int(v) for v in passage_rgba(np.array([1.5 * 30**u]))[0])
            gradient.setColorAt(step / 23, _over(QColor("#D8DACD"), red, green, blue, cover))
        painter.setPen(Qt.NoPen)
        painter.setBrush(gradient)
        painter.drawRect(box)
        painter.setFont(font(14))
        metrics = QFontMetricsF(painter.font())
        ink = QColor(colours.PALE_INK if self._is_rough else colours.INK)
        for tick in LEGEND_TICKS:
            u = float(passage_position(np.array([tick]))[0])
            x = box.left() + box.width() * (u - low) / (high - low)
            painter.setPen(QPen(ink, 1))
            painter.drawLine(QPointF(x, box.top() - 3), QPointF(x, box.top()))
            wide = metrics.horizontalAdvance(str(tick))
            painter.drawText(QPointF(x - wide / 2, box.top() - 6), str(tick))


def _over(ground: QColor, red: int, green: int, blue: int, cover: int) -> QColor:
    """Return a colour laid over a ground."""
    share = cover / 255
    parts = zip((red, green, blue), (ground.red(), ground.green(), ground.blue()), strict=True)
    return QColor(*(round(a * share + b * (1 - share)) for a, b in parts))


class ReadoutCard(MapCard):
    """Position, height, slope and cover under the pointer."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(SHADOW + 13, SHADOW + 6, SHADOW + 13, SHADOW + 6)
        column.setSpacing(0)
        self._lines = (label("", "small", is_wrapped=False), label("", "small", is_wrapped=False))
        for line in self._lines:
            column.addWidget(line)
        self.setAccessibleName("Under the pointer")
        self.setCursor(Qt.PointingHandCursor)
        self.setToolTip("Click for another form of the position.")

    clicked = pyqtSignal()

    @property
    def text(self) -> str:
        """What it says."""
        return "\n".join(line.text() for line in self._lines)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Ask for the next form."""
        self.clicked.emit()

    def say(self, first: str, second: str) -> None:
        """Say where the pointer is; nothing hides the card."""
        for line, text in zip(self._lines, (first, second), strict=True):
            line.setText(text)
            line.setVisible(bool(text))
        self.setAccessibleDescription(f"{first} {second}")
        self.setVisible(bool(first))
        self.adjustSize()


def said_elevation(height_m: float, *, is_metric: bool) -> str:
    """Return a height short enough for the readout.

    Examples
    --------
    >>> said_elevation(318.8, is_metric=False)
    '1,046 ft'
    """
    return f"{height_m:,.0f} m" if is_metric else f"{height_m / FOOT_M:,.0f} ft"
