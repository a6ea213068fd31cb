"""The almanac band: a strip along the foot of the map with months, phases and the sun."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Final

from PyQt5.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt5.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PyQt5.QtWidgets import QFrame, QLabel, QSizePolicy, QWidget

from funnelfinder.daylight import Half
from funnelfinder.season import Phase

from ..controls import Segments
from ..look import colours
from ..look.fonts import font, scaled, text_scale

#: Height of the band at usual text size [px].
BAND_PX: Final = 64
#: Days that the band shows before and after the peak of breeding.
BEFORE_DAYS: Final = 125
AFTER_DAYS: Final = 85
#: What stands for a phase where its word has no room.
_SHORT: Final = {
    Phase.LATE_SUMMER: "summer",
    Phase.EARLY_SEASON: "early",
    Phase.PEAK_BREEDING: "peak",
}
_HALVES_PX: Final = 176
_WEEK: Final = 7
#: Height of a curve of the sun; the names of the months stand between the two [px].
_CURVE_PX: Final = 5.0
_HALF_DAY_MIN: Final = 720


@dataclass(frozen=True, kw_only=True)
class Sun:
    """Sunrise and sunset by the place's own clock on one day [min after midnight]."""

    rise_min: float
    set_min: float


@dataclass(frozen=True, kw_only=True)
class Season:
    """What the band draws: a phase and the sun for each day from ``first`` on."""

    first: date
    phases: tuple[Phase, ...]
    suns: tuple[Sun | None, ...] = ()

    @property
    def n_days(self) -> int:
        """How many days it shows."""
        return len(self.phases)

    def day(self, number: int) -> date:
        """Return a day by its number, kept within the band."""
        return self.first + timedelta(days=min(max(number, 0), self.n_days - 1))

    def number(self, on: date) -> int:
        """Return the number of a day."""
        return (on - self.first).days

    def sun(self, on: date) -> Sun | None:
        """Return the sun's times on a day, None where they are not known."""
        number = self.number(on)
        return self.suns[number] if 0 <= number < len(self.suns) else None


class SeasonLine(QWidget):
    """The chart: phases over curves of the sun over months, and the handle of the date.

    ``picked`` tells a date that the hand or a key chose, ``settled`` that the hand let go,
    ``home`` that the person wants today.
    """

    picked = pyqtSignal(object)
    settled = pyqtSignal()
    home = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.StrongFocus)
        self.setCursor(Qt.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Expanding)
        self.setToolTip(
            "Drag to another day. Arrows: a day. Page up and down: a week. Home: today."
        )
        self.season: Season | None = None
        self.on = date(2000, 1, 1)
        self.today = date(2000, 1, 1)
        self.is_held = False

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(480, 46)

    def show_day(self, season: Season, on: date, today: date) -> None:
        """Show the handle on a day."""
        self.season, self.on, self.today = season, on, today
        self.update()

    def x_of(self, on: date) -> float:
        """Return where the middle of a day is [px]."""
        if self.season is None:
            return 0.0
        return (self.season.number(on) + 0.5) * self.width() / self.season.n_days

    def _pick(self, number: int) -> None:
        """Tell a day by its number."""
        if self.season is not None:
            self.picked.emit(self.season.first + timedelta(days=number))

    def _pick_at(self, x: float) -> None:
        """Tell the day at a pixel."""
        if self.season is not None:
            number = int(x * self.season.n_days / max(self.width(), 1))
            self.picked.emit(self.season.day(number))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the handle."""
        if event.button() == Qt.LeftButton:
            self.setFocus(Qt.MouseFocusReason)
            self.is_held = True
            self._pick_at(event.localPos().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Move the handle."""
        if self.is_held:
            self._pick_at(event.localPos().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the handle go."""
        if self.is_held:
            self.is_held = False
            self.settled.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by a day or a week, or back to today."""
        steps: dict[int, int] = {
            Qt.Key_Left: -1,
            Qt.Key_Down: -1,
            Qt.Key_Right: 1,
            Qt.Key_Up: 1,
            Qt.Key_PageUp: -_WEEK,
            Qt.Key_PageDown: _WEEK,
        }
        if self.season is None:
            event.ignore()
        elif event.key() in steps:
            self._pick(self.season.number(self.on) + steps[event.key()])
            self.settled.emit()
        elif event.key() == Qt.Key_Home:
            self.home.emit()
        else:
            event.ignore()

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the chart."""
        if self.season is None:
            return
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            top = scaled(14) + 3.0
            self._draw_phases(painter, self.season, top)
            below = QRectF(0, top, self.width(), self.height() - top)
            self._draw_months(painter, self.season, below)
            self._draw_sun(painter, self.season, below)
            self._draw_handle(painter, below)
            if self.hasFocus():
                painter.setBrush(Qt.NoBrush)
                painter.setPen(QPen(QColor(colours.PETROL), 2))
                painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 5, 5)
        finally:
            painter.end()

    def _draw_phases(self, painter: QPainter, season: Season, high: float) -> None:
        """Draw the phases as words over their days, the one of the date on wash."""
        wide = self.width() / season.n_days
        edges = [0, *(k for k, (a, b) in enumerate(pairwise(season.phases), 1) if a is not b)]
        for begin, end in zip(edges, [*edges[1:], season.n_days], strict=True):
            box = QRectF(begin * wide, 0, (end - begin) * wide, high)
            is_here = begin <= season.number(self.on) < end
            if is_here:
                painter.fillRect(box, QColor(colours.WASH))
            if begin:
                painter.setPen(QPen(QColor(colours.PALE_INK), 1))
                painter.drawLine(box.topLeft(), QPointF(box.left(), self.height()))
            painter.setFont(font(14, bold=is_here))
            painter.setPen(QColor(colours.PETROL if is_here else colours.GREY_INK))
            room = box.adjusted(2, 0, -2, 0)
            word = season.phases[begin].value
            metrics = QFontMetricsF(painter.font())
            if metrics.horizontalAdvance(word) > room.width():
                word = _SHORT.get(season.phases[begin], word)
            if metrics.horizontalAdvance(word) <= room.width():
                painter.drawText(room, Qt.AlignCenter, word)

    def _draw_months(self, painter: QPainter, season: Season, box: QRectF) -> None:
        """Draw where months begin, and their names between the curves."""
        painter.setFont(font(14))
        wide = box.width() / season.n_days
        metrics = QFontMetricsF(painter.font())
        starts = [k for k in range(season.n_days) if season.day(k).day == 1]
        for begin, end in zip(starts, [*starts[1:], season.n_days], strict=True):
            painter.setPen(QPen(QColor(colours.PALE_INK), 1, Qt.DotLine))
            x = begin * wide
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
            room = QRectF(x + 4, box.top(), (end - begin) * wide - 6, box.height())
            name = f"{season.day(begin):%B}"
            if metrics.horizontalAdvance(name) > room.width():
                name = name[:3]
            if metrics.horizontalAdvance(name) <= room.width():
                painter.setPen(QColor(colours.GREY_INK))
                painter.drawText(room, int(Qt.AlignLeft | Qt.AlignVCenter), name)

    def _draw_sun(self, painter: QPainter, season: Season, box: QRectF) -> None:
        """Draw sunset above and sunrise below; steps are where the clock is changed."""
        curves = (
            ([sun.set_min if sun else None for sun in season.suns], box.top() + 1),
            ([sun.rise_min if sun else None for sun in season.suns], box.bottom() - 7),
        )
        painter.setPen(QPen(QColor(colours.INK), 1.3))
        for minutes, top in curves:
            known = [value for value in minutes if value is not None]
            if not known:
                continue
            low, high = min(known), max(known)
            line = [
                QPointF(
                    (k + 0.5) * box.width() / season.n_days,
                    top + _CURVE_PX * (high - value) / max(high - low, 1.0),
                )
                for k, value in enumerate(minutes)
                if value is not None
            ]
            painter.drawPolyline(QPolygonF(line))

    def _draw_handle(self, painter: QPainter, box: QRectF) -> None:
        """Draw the handle on the date, and a small tick on today."""
        today = self.x_of(self.today)
        painter.setPen(Qt.NoPen)
        painter.setBrush(QColor(colours.INK))
        foot = box.bottom()
        tick = [QPointF(today - 4, foot), QPointF(today + 4, foot), QPointF(today, foot - 6)]
        painter.drawPolygon(QPolygonF(tick))
        x = self.x_of(self.on)
        painter.setPen(QPen(QColor(colours.PAPER), 5))
        painter.drawLine(QPointF(x, box.top()), QPointF(x, foot))
        painter.setPen(QPen(QColor(colours.PETROL), 2.4))
        painter.drawLine(QPointF(x, box.top()), QPointF(x, foot))
        painter.setPen(QPen(QColor(colours.PAPER), 2))
        painter.setBrush(QColor(colours.PETROL))
        painter.drawEllipse(QPointF(x, box.top() + box.height() / 2), 6.5, 6.5)


class AlmanacBand(QFrame):
    """Date, phase and what deer do then; evening or morning; and the chart."""

    half_chosen = pyqtSignal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("almanac")
        self.setAccessibleName("Almanac")
        self.setAttribute(Qt.WA_StyledBackground)
        self.setStyleSheet(
            f"#almanac {{ background: {colours.PAPER}; border-top: 1px solid {colours.RULE}; }}"
        )
        self.words = QLabel(self)
        self.words.setTextFormat(Qt.PlainText)
        self.sun_words = QLabel(self)
        self.sun_words.setAlignment(Qt.AlignRight | Qt.AlignVCenter)
        self.halves = Segments([half.value for half in Half], name="End of the day")
        self.halves.setParent(self)
        self.halves.chosen.connect(lambda word: self.half_chosen.emit(Half(word)))
        self.line = SeasonLine(self)
        self._said = ("", "")
        self.setFocusProxy(self.line)

    @staticmethod
    def high() -> int:
        """Return its height at the person's text size."""
        return round(BAND_PX * text_scale())

    def show_hour(self, season: Season, on: date, half: Half, today: date, deed: str) -> None:
        """Show a date and an end of the day; ``deed`` says what deer do then."""
        phase = season.phases[season.number(on)]
        self._said = (f"{on.day} {on:%B}, {phase.value}. ", deed)
        self.halves.choose(half.value)
        self.line.show_day(season, on, today)
        sun = season.sun(on)
        said = f"sunrise {clock(sun.rise_min)}, sunset {clock(sun.set_min)}" if sun else ""
        self.sun_words.setText(said)
        described = f"{on.day} {on:%B %Y}, {half.value}, {phase.value}. {deed} {said}"
        self.line.setAccessibleName("Date")
        self.line.setAccessibleDescription(described.strip())
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the width."""
        super().resizeEvent(event)
        self._lay_out()

    def _lay_out(self) -> None:
        """Put the words over the chart, and the ends of the day at its left."""
        high = scaled(15) + 4
        for shown in (self.words, self.sun_words):
            shown.setFont(font(15))
            shown.setStyleSheet(f"font-size: {scaled(15)}px;")
        wide = self.sun_words.sizeHint().width() if self.width() > 700 * text_scale() else 0
        self.sun_words.setVisible(wide > 0)
        self.sun_words.setGeometry(self.width() - wide - 12, 1, wide, high)
        room = self.width() - wide - 34
        self.words.setGeometry(10, 1, room, high)
        bold = QFontMetricsF(font(15, bold=True))
        rest = QFontMetricsF(font(15)).elidedText(
            self._said[1], Qt.ElideRight, max(room - bold.horizontalAdvance(self._said[0]) - 4, 0)
        )
        self.words.setTextFormat(Qt.RichText)
        self.words.setText(f"<span style='font-weight:600'>{self._said[0]}</span>{rest}")
        self.words.setToolTip(self._said[1])
        left = round(_HALVES_PX * text_scale())
        below = self.height() - high - 2
        self.halves.setGeometry(8, high + (below - 38) // 2 + 1, left - 8, 38)
        self.line.setGeometry(left + 10, high + 1, self.width() - left - 18, below - 2)


def clock(minutes: float) -> str:
    """Return minutes after midnight as the time of day.

    Examples
    --------
    >>> clock(17 * 60 + 21.4)
    '5:21 pm'
    """
    whole = round(minutes)
    hour = whole // 60 % 24
    side = "am" if whole % (2 * _HALF_DAY_MIN) < _HALF_DAY_MIN else "pm"
    return f"{(hour - 1) % 12 + 1}:{whole % 60:02d} {side}"
