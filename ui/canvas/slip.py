"""Slips: paper notes tied by a thin line to one thing on the map; one at a time, never modal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from PyQt5.QtCore import QPoint, QPointF, QRectF, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPen, QShowEvent
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from funnelfinder.errors import FunnelFinderError

from ..controls import label, link
from ..gestures import Point
from ..look import colours, icon
from .cards import SHADOW, MapCard

_WIDTH: Final = 300
_AWAY_PX: Final = 48
_WAYS: Final = ((1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1), (0, 1))


@dataclass(frozen=True, kw_only=True)
class SlipWords:
    """What a slip says.

    ``rows`` are pairs of words and a figure; ``actions`` are words and what they do (each also
    closes the slip); ``at_m`` is the thing it is tied to; ``is_trouble`` makes it rose with a
    ring sign. ``content`` is a widget of the caller's own under the words.
    """

    title: str
    body: str = ""
    rows: Sequence[tuple[str, str]] = ()
    actions: Sequence[tuple[str, Callable[[], object]]] = ()
    at_m: Point | None = None
    is_trouble: bool = False
    content: QWidget | None = None
    width: int = _WIDTH


def trouble_words(
    error: Exception, *, unharmed: str = "Your property is as before.", at_m: Point | None = None
) -> SlipWords:
    """Return the slip of an error: what happened, what is unharmed, what to do.

    The words are those of the command line.
    """
    if isinstance(error, FunnelFinderError):
        place = f"{error.where}: " if error.where else ""
        body = " ".join(part for part in (f"{place}{error.what}", unharmed, error.remedy) if part)
    else:
        body = f"{error} {unharmed}"
    return SlipWords(title="That did not work", body=body, is_trouble=True, at_m=at_m)


class Slip(MapCard):
    """One paper note."""

    closed = pyqtSignal()

    def __init__(self, words: SlipWords, parent: QWidget) -> None:
        ground = colours.ROSE if words.is_trouble else colours.PAPER
        super().__init__(parent, ground=ground)
        self.words = words
        self._held: QPoint | None = None
        self.was_dragged = False
        self.setAccessibleName(words.title)
        self.setAccessibleDescription(words.body)
        self.setFixedWidth(words.width + 2 * SHADOW)
        column = QVBoxLayout(self)
        column.setContentsMargins(SHADOW + 15, SHADOW + 12, SHADOW + 15, SHADOW + 10)
        column.setSpacing(6)
        column.addLayout(self._head(words))
        if words.body:
            column.addWidget(label(words.body, "plain"))
        for left, right in words.rows:
            column.addLayout(_row(left, right))
        if words.content is not None:
            column.addWidget(words.content)
        column.addLayout(self._foot(words))

    def showEvent(self, event: QShowEvent) -> None:
        """Take the height that the words need at this width."""
        super().showEvent(event)
        self.fit()

    def fit(self) -> None:
        """Take the height that the words need at this width."""
        for one in self.findChildren(QLabel):
            one.ensurePolished()
        self.layout().invalidate()
        self.resize(self.width(), self.layout().totalHeightForWidth(self.width()))

    def _head(self, words: SlipWords) -> QHBoxLayout:
        """Return the title, with a sign where something went wrong."""
        head = QHBoxLayout()
        head.setSpacing(9)
        if words.is_trouble:
            sign = QLabel()
            sign.setPixmap(icon("error").pixmap(22, 22))
            sign.setAccessibleName("Trouble")
            head.addWidget(sign, 0, Qt.AlignTop)
        title = label(words.title, "head")
        title.setStyleSheet("font-family: 'Source Serif Pro'; font-weight: 504;")
        head.addWidget(title, 1)
        return head

    def _foot(self, words: SlipWords) -> QVBoxLayout:
        """Return the deeds and Close, which takes a row of its own where there is no room."""
        foot = QVBoxLayout()
        foot.setSpacing(0)
        row = QHBoxLayout()
        row.setSpacing(14)
        foot.addLayout(row)
        deeds = [link(word, partial(self._do, act)) for word, act in words.actions]
        close = link("Close", self.close_slip, tip="Put this slip away. Key Esc.")
        for one in (*deeds, close):
            one.ensurePolished()
        wide = sum(one.sizeHint().width() + 14 for one in (*deeds, close))
        for one in deeds:
            row.addWidget(one)
        row.addStretch(1)
        if wide > words.width - 30:
            row = QHBoxLayout()
            row.addStretch(1)
            foot.addLayout(row)
        row.addWidget(close)
        return foot

    def _do(self, act: Callable[[], object]) -> None:
        """Do a deed and go."""
        self.close_slip()
        act()

    def close_slip(self) -> None:
        """Go away."""
        self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go away on Escape."""
        if event.key() == Qt.Key_Escape:
            self.close_slip()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the paper."""
        self._held = event.pos()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move it along."""
        if self._held is not None:
            self.move(self.pos() + event.pos() - self._held)
            self.was_dragged = True
            self.parentWidget().update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let it lie."""
        self._held = None


def _row(left: str, right: str) -> QHBoxLayout:
    """Return words and a figure."""
    row = QHBoxLayout()
    row.addWidget(label(left, "plain"), 1)
    figure = label(f"<b>{right}</b>", "plain", is_wrapped=False)
    row.addWidget(figure, 0, Qt.AlignTop)
    return row


def best_place(
    size: tuple[float, float],
    anchor: QPointF | None,
    room: QRectF,
    hides: Callable[[QRectF], float],
) -> QPointF:
    """Return where a slip hides least, as near to its thing as that allows.

    Parameters
    ----------
    size : (width, height)
        Of the slip [px].
    anchor : QPointF, optional
        The thing it is tied to [px]; without one it goes to the top right of the room.
    room : QRectF
        Where it may lie.
    hides : callable
        How much a box would hide (0 is nothing).
    """
    wide, high = size
    if anchor is None:
        return QPointF(room.right() - wide, room.top())
    best: tuple[float, QPointF] | None = None
    for away in (_AWAY_PX, 3 * _AWAY_PX, 5 * _AWAY_PX):
        for right, down in _WAYS:
            x = anchor.x() + right * away + (0 if right > 0 else -wide if right < 0 else -wide / 2)
            y = anchor.y() + down * away + (0 if down > 0 else -high if down < 0 else -high / 2)
            x = min(max(x, room.left()), max(room.right() - wide, room.left()))
            y = min(max(y, room.top()), max(room.bottom() - high, room.top()))
            box = QRectF(x, y, wide, high)
            cost = hides(box) + away / 400 + (50 if box.contains(anchor) else 0)
            if best is None or cost < best[0]:
                best = (cost, QPointF(x, y))
    assert best is not None
    return best[1]


def draw_tie(painter: QPainter, slip: QRectF, anchor: QPointF) -> None:
    """Draw the thin line from a slip to its thing."""
    if slip.contains(anchor):
        return
    x = min(max(anchor.x(), slip.left()), slip.right())
    y = min(max(anchor.y(), slip.top()), slip.bottom())
    painter.setRenderHint(QPainter.Antialiasing, True)
    for value, width in ((colours.PAPER, 4.0), (colours.GREY_INK, 1.4)):
        painter.setPen(QPen(QColor(value), width, Qt.SolidLine, Qt.RoundCap))
        painter.drawLine(QPointF(x, y), anchor)
    painter.setBrush(QColor(colours.GREY_INK))
    painter.setPen(QPen(QColor(colours.PAPER), 1.5))
    painter.drawEllipse(anchor, 4, 4)
