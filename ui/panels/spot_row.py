"""One spot in the list: tick, close-up, number and name, kind, share with its range, steadiness."""

from __future__ import annotations

import math

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPaintEvent, QPen, QPixmap
from PyQt5.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from funnelfinder.scrapes import Cluster, middle_m
from funnelfinder.units import said_share

from ..canvas.spot_painter import GLYPHS, KIND_WORDS
from ..canvas.view import MapView
from ..controls import DrawnButton, Tick, draw_share_bar
from ..look import colours
from ..look.fonts import font, scaled
from ..look.icons import draw_icon

CLOSE_UP_PX = 54
#: How much ground a close-up shows [m].
_CLOSE_UP_M = 180.0


class _Body(DrawnButton):
    """All of the row but its tick; a click takes the spot in hand."""

    def __init__(self, cluster: Cluster, close_up: QPixmap) -> None:
        super().__init__(cluster.name)
        self.cluster, self._close_up = cluster, close_up
        self.full = 0.5
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)
        self.setAccessibleName(
            f"Spot {cluster.number}, {cluster.name}, {KIND_WORDS[cluster.kind]}, "
            f"{said_share(cluster.share)} {cluster.trips}, {said_steady(cluster)}"
        )
        self.setToolTip("Click to see why it is here. Keys Page up and Page down walk the list.")

    def sizeHint(self) -> QSize:
        """Return the height of three lines."""
        return QSize(210, max(scaled(16) + 2 * scaled(15) + 22, CLOSE_UP_PX + 10))

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(150, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the row."""
        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(0, 1, 0, -1))
            top = (self.height() - CLOSE_UP_PX) / 2
            self._draw_close_up(painter, QRectF(5, top, CLOSE_UP_PX, CLOSE_UP_PX))
            left = CLOSE_UP_PX + 16.0
            self._draw_words(painter, QRectF(left, 4, self.width() - left - 6, self.height() - 8))
        finally:
            painter.end()

    def _draw_close_up(self, painter: QPainter, box: QRectF) -> None:
        """Draw the piece of the map, its scrapes in the middle."""
        path = QPainterPath()
        path.addRoundedRect(box, 6, 6)
        painter.save()
        painter.setClipPath(path)
        painter.fillRect(box, QColor(colours.WELL))
        if not self._close_up.isNull():
            painter.drawPixmap(box.toRect(), self._close_up)
        painter.restore()
        painter.setBrush(Qt.NoBrush)
        is_held = self.isChecked()
        ink = colours.PETROL if is_held else colours.PALE_INK
        painter.setPen(QPen(QColor(ink), 2.0 if is_held else 1.0))
        painter.drawPath(path)

    def _draw_words(self, painter: QPainter, box: QRectF) -> None:
        """Draw name and kind, bar and share, steadiness."""
        cluster = self.cluster
        line = box.height() / 3
        glyph = QRectF(box.right() - 17, box.top() + (line - 16) / 2, 16, 16)
        draw_icon(painter, GLYPHS[cluster.kind], glyph, QColor(colours.GREY_INK))
        painter.setFont(font(16, bold=True))
        painter.setPen(QColor(colours.PETROL if self.isChecked() else colours.INK))
        name = f"{cluster.number}  {cluster.name}"
        room = box.width() - 22
        text = QFontMetricsF(painter.font()).elidedText(name, Qt.ElideRight, room)
        first = QRectF(box.left(), box.top(), room, line)
        painter.drawText(first, int(Qt.AlignLeft | Qt.AlignVCenter), text)
        figure = said_share(cluster.share)
        wide = QFontMetricsF(painter.font()).horizontalAdvance("00 of 100")
        painter.setPen(QColor(colours.INK))
        second = QRectF(box.left(), box.top() + line, box.width(), line)
        painter.drawText(second, int(Qt.AlignRight | Qt.AlignVCenter), figure)
        bar = QRectF(box.left(), second.center().y() - 4, box.width() - wide - 12, 8)
        draw_share_bar(
            painter, bar, cluster.share, cluster.share_low, cluster.share_high, full=self.full
        )
        painter.setFont(font(15))
        painter.setPen(QColor(colours.GREY_INK))
        third = QRectF(box.left(), box.top() + 2 * line, box.width(), line)
        words = f"{said_steady(cluster)}{', put by hand' if cluster.is_by_hand else ''}"
        painter.drawText(third, int(Qt.AlignLeft | Qt.AlignVCenter), words)


class SpotRow(QWidget):
    """Tick and row; ``ticked`` tells number and state, ``chosen`` the number."""

    ticked = pyqtSignal(int, bool)
    chosen = pyqtSignal(int)

    def __init__(self, cluster: Cluster, close_up: QPixmap) -> None:
        super().__init__()
        self.number = cluster.number
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        self.tick = Tick("", tip="Take this spot along, or not. Key Space.")
        self.tick.setFixedWidth(28)
        self.tick.setAccessibleName(f"Take {cluster.name} along")
        self.tick.clicked.connect(lambda is_on: self.ticked.emit(self.number, is_on))
        self.body = _Body(cluster, close_up)
        self.body.clicked.connect(lambda _checked=False: self.chosen.emit(self.number))
        row.addWidget(self.tick)
        row.addWidget(self.body, 1)

    def show_state(self, *, is_taken: bool, is_held: bool, full: float) -> None:
        """Show whether it is taken and in hand."""
        self.tick.setChecked(is_taken)
        self.body.setChecked(is_held)
        self.body.full = full
        self.body.update()


def said_steady(cluster: Cluster) -> str:
    """Return how steady a spot is in the fewest words."""
    if cluster.n_redraws == 0 or math.isnan(cluster.steadiness):
        return "not tested"
    return f"steady {round(cluster.steadiness * cluster.n_redraws)} of {cluster.n_redraws}"


def close_up(view: MapView, cluster: Cluster) -> QPixmap:
    """Return a piece of the map round a spot with its scrapes."""
    ratio = view.devicePixelRatioF()
    side = round(CLOSE_UP_PX * ratio)
    made = QPixmap(side, side)
    made.fill(QColor(colours.WELL))
    x_m, y_m = middle_m(cluster)
    half = _CLOSE_UP_M / 2
    source = QRectF(x_m - view.x0_m - half, view.y0_m - y_m - half, _CLOSE_UP_M, _CLOSE_UP_M)
    painter = QPainter(made)
    try:
        painter.setRenderHints(QPainter.Antialiasing | QPainter.SmoothPixmapTransform)
        view.scene().render(painter, QRectF(0, 0, side, side), source)
        scale = side / _CLOSE_UP_M
        painter.setBrush(QColor(colours.PAPER))
        painter.setPen(QPen(QColor(colours.INK), 1.6 * ratio))
        for sx, sy in cluster.scrapes_m:
            at = QPointF((sx - x_m + half) * scale, (y_m - sy + half) * scale)
            painter.drawEllipse(at, 4.0 * ratio, 4.0 * ratio)
    finally:
        painter.end()
    made.setDevicePixelRatio(ratio)
    return made
