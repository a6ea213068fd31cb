"""Rows of the cameras: visits a night with daylight share, pairs, and spots before and after."""

from __future__ import annotations

from typing import Final

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QSizePolicy, QWidget

from funnelfinder.analysis.watching import CameraPlace, PairWalked, SpotRanked
from funnelfinder.evidence import Interval

from ..controls import draw_share_bar
from ..look import colours
from ..look.fonts import font, scaled

_BAR_PX: Final = 8.0
_LEFT: Final = int(Qt.AlignLeft | Qt.AlignVCenter)
_RIGHT: Final = int(Qt.AlignRight | Qt.AlignVCenter)


class _Row(QWidget):
    """A few lines of words and bars, drawn."""

    n_lines = 3

    def __init__(self, said: str) -> None:
        super().__init__()
        self.setAccessibleName(said)
        self.setToolTip(said)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)

    def sizeHint(self) -> QSize:
        """Return room for the lines."""
        return QSize(200, self.n_lines * (scaled(15) + 7) + 8)

    def minimumSizeHint(self) -> QSize:
        """Return the same height."""
        return QSize(150, self.sizeHint().height())

    def line(self, number: int) -> QRectF:
        """Return where a line stands."""
        high = scaled(15) + 7.0
        return QRectF(0, 3 + number * high, self.width(), high)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the lines over a hairline."""
        painter = QPainter(self)
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            self.draw(painter)
            painter.setPen(QColor(colours.RULE))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        finally:
            painter.end()

    def draw(self, painter: QPainter) -> None:
        """Draw the lines."""

    def words(
        self, painter: QPainter, number: int, left: str, right: str = "", *, is_bold: bool = False
    ) -> float:
        """Write at both ends of a line; return how wide the right end is."""
        box = self.line(number)
        painter.setFont(font(15, bold=is_bold))
        painter.setPen(QColor(colours.INK if is_bold else colours.GREY_INK))
        metrics = QFontMetricsF(painter.font())
        wide = metrics.horizontalAdvance(right)
        room = box.width() - wide - 10
        painter.drawText(box, _LEFT, metrics.elidedText(left, Qt.ElideMiddle, room))
        painter.setPen(QColor(colours.INK))
        painter.drawText(box, _RIGHT, right)
        return wide

    def bar(self, number: int, right_px: float) -> QRectF:
        """Return where the bar of a line stands, left of its figure."""
        box = self.line(number)
        return QRectF(0, box.center().y() - _BAR_PX / 2, box.width() - right_px - 12, _BAR_PX)


class CameraRow(_Row):
    """One camera place: visits a night, and the share of them in legal light."""

    n_lines = 4

    def __init__(self, one: CameraPlace, *, most: float) -> None:
        self.one, self._most = one, most
        rate, light = one.visits.rate, one.visits.light
        super().__init__(
            f"{said_place(one)}: {said_rate(rate)} deer visits a night in {one.visits.nights:.0f} "
            f"nights; in legal light {said_of_100(light)}."
        )

    def draw(self, painter: QPainter) -> None:
        """Draw name, rate and light."""
        visits = self.one.visits
        nights = f"{len(visits.visits)} in {visits.nights:.0f} nights"
        self.words(painter, 0, said_place(self.one), nights, is_bold=True)
        wide = QFontMetricsF(font(15)).horizontalAdvance("00 of 100 by day")
        for number, figure, interval, full in (
            (1, f"{visits.rate.mean:.2f} a night", visits.rate, self._most),
            (2, f"{100 * visits.light.mean:.0f} of 100 by day", visits.light, 1.0),
        ):
            self.words(painter, number, "", figure)
            draw_share_bar(painter, self.bar(number, wide), *interval, full=full)
        expected = self.one.expected
        self.words(painter, 3, f"The model expects {expected.low:.0f} to {expected.high:.0f}.")


class PairRow(_Row):
    """One bed and food: its share of all trips after the cameras, and a dashed tick before."""

    n_lines = 2

    def __init__(self, one: PairWalked, *, full: float) -> None:
        self.one, self._full = one, full
        super().__init__(
            f"{one.bed} to {one.food}: {said_of_100(one.share)} trips by the cameras, "
            f"{100 * one.model_share:.0f} of 100 by the model alone."
        )

    def draw(self, painter: QPainter) -> None:
        """Draw names, bar and figure."""
        one = self.one
        self.words(painter, 0, f"{one.bed} – {one.food}")
        wide = QFontMetricsF(font(15)).horizontalAdvance("00 → 00 of 100")
        figure = f"{100 * one.model_share:.0f} → {100 * one.share.mean:.0f} of 100"
        self.words(painter, 1, "", figure)
        bar = self.bar(1, wide)
        draw_share_bar(painter, bar, *one.share, full=self._full)
        draw_before(painter, bar, one.model_share, one.model_share, self._full)


class SpotRow(_Row):
    """One spot: its share before and after the cameras as two thin outlines, dashed and solid."""

    n_lines = 2

    def __init__(self, one: SpotRanked, *, full: float) -> None:
        self.one, self._full = one, full
        moved = (
            f"from place {one.rank_before} to {one.rank_after}"
            if one.rank_before != one.rank_after
            else f"stays at place {one.rank_after}"
        )
        super().__init__(
            f"{one.number} {one.name}: {said_of_100(one.before)} before the cameras, "
            f"{said_of_100(one.after)} after; {moved}."
        )

    def draw(self, painter: QPainter) -> None:
        """Draw name, outlines and figure."""
        one = self.one
        place = f"place {one.rank_before} → {one.rank_after}"
        self.words(painter, 0, f"{one.number} {one.name}", place)
        wide = QFontMetricsF(font(15)).horizontalAdvance("00 → 00 of 100")
        figure = f"{100 * one.before.mean:.0f} → {100 * one.after.mean:.0f} of 100"
        self.words(painter, 1, "", figure)
        bar = self.bar(1, wide)
        painter.fillRect(bar, QColor(colours.PRESS))
        draw_before(painter, bar, one.before.low, one.before.high, self._full)
        draw_after(painter, bar, one.after, self._full)


def draw_before(painter: QPainter, bar: QRectF, low: float, high: float, full: float) -> None:
    """Draw what was before the cameras: a thin dashed outline, a dashed tick where it is one."""
    pen = QPen(QColor(colours.INK), 1.4)
    pen.setDashPattern([2.5, 2.0])
    painter.setPen(pen)
    painter.setBrush(Qt.NoBrush)
    left, right = (bar.left() + bar.width() * min(v / full, 1.0) for v in (low, high))
    painter.drawRect(QRectF(left, bar.top() - 4, max(right - left, 0.5), bar.height() + 8))


def draw_after(painter: QPainter, bar: QRectF, after: Interval, full: float) -> None:
    """Draw what is after the cameras: a thin solid outline with its tick."""
    painter.setPen(QPen(QColor(colours.INK), 1.4))
    painter.setBrush(Qt.NoBrush)
    left, middle, right = (
        bar.left() + bar.width() * min(v / full, 1.0) for v in (after.low, after.mean, after.high)
    )
    painter.drawRect(QRectF(left, bar.top(), max(right - left, 0.5), bar.height()))
    painter.setPen(QPen(QColor(colours.INK), 2.4, Qt.SolidLine, Qt.FlatCap))
    painter.drawLine(round(middle), round(bar.top()) - 3, round(middle), round(bar.bottom()) + 3)


def said_place(one: CameraPlace) -> str:
    """Return a camera's name with the spot that it watches."""
    return f"{one.visits.name} (spot {one.cluster})" if one.cluster else one.visits.name


def said_rate(rate: Interval) -> str:
    """Return a rate with its range."""
    return f"{rate.mean:.2f} ({rate.low:.2f} to {rate.high:.2f})"


def said_of_100(share: Interval) -> str:
    """Return a share with its range.

    Examples
    --------
    >>> said_of_100(Interval(0.31, 0.15, 0.5))
    '31 of 100 (15 to 50)'
    """
    return f"{100 * share.mean:.0f} of 100 ({100 * share.low:.0f} to {100 * share.high:.0f})"
