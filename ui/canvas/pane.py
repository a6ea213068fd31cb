"""The map with what lies on it: hint, tools, scale, legend, readout and one slip."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt5.QtCore import QPoint, QPointF, QRect, QRectF, Qt, pyqtSignal
from PyQt5.QtGui import QPainter, QResizeEvent
from PyQt5.QtWidgets import QWidget

from ..gestures import Point
from ..look.fonts import scaled
from .cards import SHADOW, HintLine, LegendCard, ReadoutCard, ScaleCard, Tools
from .credit_line import CreditLine
from .slip import Slip, SlipWords, best_place, draw_tie
from .view import MapView

_EDGE: Final = 8
_LOW: Final = 420


class MapPane(QWidget):
    """The map and its cards.

    ``slip_closed`` is told when the slip goes away. ``hides`` can be replaced to say how much a
    box of the screen would hide.
    """

    slip_closed = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.view = MapView(self)
        self.hint = HintLine(self)
        self.tools = Tools(self)
        self.scale = ScaleCard(self)
        self.legend = LegendCard(self)
        self.readout = ReadoutCard(self)
        self.credit = CreditLine(self)
        self.slip: Slip | None = None
        self.hides: Callable[[QRectF], float] = lambda box: 0.0
        self._hint_text = ""
        self._has_legend = False
        self._cover_px = 0
        self._foot: QWidget | None = None
        self._foot_px = 0
        self.legend.hide()
        self.readout.hide()
        self.hint.hide()
        self.legend.held.connect(self.view.hold_passage_back)
        self.view.add_over(self._draw_tie)
        self.view.outlook_changed.connect(self._moved)

    def set_left_cover(self, width: int) -> None:
        """Leave room for a drawer that lies over the left of the map."""
        if width != self._cover_px:
            self._cover_px = width
            self.lay_out()

    def set_foot(self, foot: QWidget | None, high: int = 0) -> None:
        """Lay a strip along the foot, or none; the map gives it the room."""
        px = high if foot is not None else 0
        if foot is not None:
            foot.setGeometry(0, self.height() - px, self.width(), px)
            foot.show()
        if foot is not self._foot or px != self._foot_px:
            self._foot, self._foot_px = foot, px
            self.lay_out()
            self.view.setGeometry(0, 0, self.width(), self.height() - px)

    @property
    def foot(self) -> QWidget | None:
        """The strip along the foot, where there is one."""
        return self._foot

    def show_legend(self, is_shown: bool) -> None:
        """Show the passage legend where there is room, or not."""
        self._has_legend = is_shown
        self.lay_out()

    def say(self, text: str) -> None:
        """Say what the hand can do now."""
        if text != self._hint_text:
            self._hint_text = text
            self.hint.say(text)
            self.lay_out()

    def tell(self, words: SlipWords) -> Slip:
        """Lay a slip on the map instead of the one that lies there."""
        self.close_slip()
        slip = Slip(words, self)
        self.slip = slip
        slip.closed.connect(self.close_slip)
        slip.show()
        self.lay_out()
        return slip

    def close_slip(self) -> None:
        """Take the slip away."""
        if self.slip is not None:
            slip, self.slip = self.slip, None
            slip.hide()
            slip.deleteLater()
            self.lay_out()
            self.view.viewport().update()
            self.slip_closed.emit()

    def free_margins(self) -> tuple[float, float, float, float]:
        """Return what the cards cover at each side [px]: left, top, right, bottom."""
        # One line of hint, whatever it says now: the map must not jump with the words.
        top = scaled(16) + 30
        right = self.tools.width() if self.tools.isVisibleTo(self) else 0
        bottom = self.scale.height() if self.scale.isVisibleTo(self) else 0
        return self._cover_px + 24.0, top + 32.0, right + 16.0, bottom + 18.0

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put everything in its corner."""
        super().resizeEvent(event)
        # The cards first: the view tells its new size, and the whole is fitted between them.
        self.lay_out()
        self.view.setGeometry(0, 0, self.width(), self.height() - self._foot_px)
        if self._foot is not None:
            top = self.height() - self._foot_px
            self._foot.setGeometry(0, top, self.width(), self._foot_px)

    def lay_out(self) -> None:
        """Put the cards where they belong."""
        wide, high = self.width(), self.height() - self._foot_px
        left = self._cover_px + _EDGE
        self.tools.set_low(high < _LOW)
        self.tools.adjustSize()
        self.tools.move(wide - self.tools.width() - _EDGE, _EDGE)
        self.hint.fit(max(wide - self.tools.width() - left - 2 * _EDGE, 80))
        self.hint.move(left, _EDGE)
        self.scale.resize(self.scale.sizeHint())
        self.scale.setVisible(wide - left > self.scale.width() + _EDGE)
        self.scale.move(left, high - self.scale.height() - _EDGE)
        self.legend.resize(self.legend.sizeHint())
        beside = self.scale.geometry().right() + 4
        fits = beside + self.legend.width() + _EDGE <= wide
        self.legend.move(
            beside if fits else left,
            (high if fits else self.scale.y()) - self.legend.height() - (_EDGE if fits else 0),
        )
        has_room = fits or (high >= _LOW and left + self.legend.width() < wide)
        self.legend.setVisible(self._has_legend and has_room)
        self.lay_out_readout()
        self._lay_out_credit()
        self._lay_slip()

    def lay_out_readout(self) -> None:
        """Put the readout in its corner, above the others where they would meet."""
        wide, high = self.width(), self.height() - self._foot_px
        self.readout.adjustSize()
        x = wide - self.readout.width() - _EDGE
        y = high - self.readout.height() - _EDGE
        box = QRect(x, y, self.readout.width(), self.readout.height())
        others = [one for one in (self.scale, self.legend) if one.isVisibleTo(self)]
        if any(box.intersects(one.geometry()) for one in others):
            box.moveBottom(min(one.y() for one in others))
        self.readout.move(box.topLeft())
        meets = box.intersects(self.tools.geometry()) or box.left() < self._cover_px
        self.readout.setVisible(bool(self.readout.text.strip()) and not meets)

    def _lay_out_credit(self) -> None:
        """Put the credit line over the cards at the lower left, where it hides least."""
        left, wide = self._cover_px + _EDGE + SHADOW, self.width()
        others = [one for one in (self.scale, self.legend) if one.isVisibleTo(self)]
        low = min(
            (one.y() + SHADOW for one in others), default=self.height() - self._foot_px - _EDGE
        )
        room = wide - left - self.tools.width() - 2 * _EDGE
        size = self.credit.sizeHint()
        self.credit.resize(max(min(size.width(), room), 40), size.height())
        self.credit.move(left, low - size.height() - 4)
        has_room = room > 120 and self.credit.y() > self.hint.geometry().bottom()
        self.credit.setVisible(bool(self.credit.text) and has_room)

    def _lay_slip(self) -> None:
        """Put the slip where it hides least, and the hint away where they meet."""
        slip = self.slip
        if slip is None:
            self.hint.setVisible(bool(self._hint_text))
            return
        if not slip.was_dragged:
            room = QRectF(
                self._cover_px + _EDGE,
                _EDGE,
                self.width() - self._cover_px - self.tools.width() - 2 * _EDGE,
                self.height() - self._foot_px - self.scale.height() - 2 * _EDGE,
            )
            at = slip.words.at_m
            anchor = self.view.to_screen(at) if at is not None else None
            size = (slip.width(), slip.height())
            place = best_place(size, anchor, room, self._hidden)
            slip.move(place.toPoint())
        slip.raise_()
        meets = slip.geometry().intersects(self.hint.geometry())
        self.hint.setVisible(bool(self._hint_text) and not meets)
        self.view.viewport().update()

    def _hidden(self, box: QRectF) -> float:
        """Return how much a slip there would hide, cards included."""
        cards = (self.tools, self.scale, self.legend, self.readout, self.credit)
        over = sum(
            card.isVisibleTo(self) and box.intersects(QRectF(card.geometry())) for card in cards
        )
        return self.hides(box) + 20.0 * over

    def _moved(self) -> None:
        """Keep the slip near its thing while one looks around."""
        slip = self.slip
        if slip is not None and slip.words.at_m is not None and not slip.was_dragged:
            anchor = self.view.to_screen(slip.words.at_m)
            if not QRectF(self.rect()).contains(anchor) or slip.geometry().contains(
                QPoint(round(anchor.x()), round(anchor.y()))
            ):
                self._lay_slip()

    def _draw_tie(self, painter: QPainter, to_screen: Callable[[Point], QPointF]) -> None:
        """Draw the line from the slip to its thing."""
        slip = self.slip
        if slip is not None and slip.words.at_m is not None:
            box = QRectF(slip.geometry()).adjusted(SHADOW, SHADOW, -SHADOW, -SHADOW)
            draw_tie(painter, box, to_screen(slip.words.at_m))

    def focus_map(self) -> None:
        """Give the keys to the map."""
        self.view.setFocus(Qt.OtherFocusReason)
