"""Buttons with an icon of our own and its word beside it."""

from __future__ import annotations

from typing import Final

from PyQt5.QtCore import QRectF, QSize, Qt
from PyQt5.QtGui import QColor, QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt5.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from ..look import colours
from ..look.fonts import font, scaled, text_scale
from ..look.icons import draw_icon

RADIUS: Final = 7.0


class DrawnButton(QAbstractButton):
    """A button that draws itself; the focus ring is petrol outside a gap of paper."""

    def __init__(self, word: str, *, tip: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(word)
        self.setAccessibleName(word)
        self.setCursor(Qt.PointingHandCursor)
        self.setFocusPolicy(Qt.StrongFocus)
        self.setAttribute(Qt.WA_Hover)
        if tip:
            self.setToolTip(tip)

    def ink(self) -> QColor:
        """Return the colour of icon and word now."""
        if not self.isEnabled():
            return QColor(colours.PALE_INK)
        return QColor(colours.PETROL if self.isChecked() or self.isDown() else colours.INK)

    def draw_ground(self, painter: QPainter, box: QRectF, *, has_edge: bool = False) -> None:
        """Draw what lies under icon and word: wash when chosen, well under the pointer."""
        painter.setRenderHint(QPainter.Antialiasing, True)
        painter.setPen(QPen(self.ink(), 1.2) if has_edge else Qt.NoPen)
        if self.isChecked() or self.isDown():
            painter.setBrush(QColor(colours.WASH))
        elif self.underMouse() and self.isEnabled():
            painter.setBrush(QColor(colours.WELL))
        else:
            painter.setBrush(QColor(colours.PAPER) if has_edge else Qt.NoBrush)
        painter.drawRoundedRect(box, RADIUS, RADIUS)
        if self.hasFocus():
            painter.setBrush(Qt.NoBrush)
            painter.setPen(QPen(QColor(colours.PETROL), 2.0))
            painter.drawRoundedRect(box.adjusted(1, 1, -1, -1), RADIUS, RADIUS)


class IconWord(DrawnButton):
    """An icon with its word under it."""

    def __init__(
        self,
        icon: str,
        word: str,
        *,
        tip: str = "",
        icon_px: int = 22,
        word_px: int = 15,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(word, tip=tip, parent=parent)
        self._icon, self._icon_px, self._word_px = icon, icon_px, word_px
        self._is_low = False
        self.setSizePolicy(QSizePolicy.Preferred, QSizePolicy.Fixed)

    def set_low(self, is_low: bool) -> None:
        """Take less height in low windows."""
        if is_low != self._is_low:
            self._is_low = is_low
            self.updateGeometry()
            self.update()

    def sizeHint(self) -> QSize:
        """Return room for icon and word, at least 36 × 36."""
        width = QFontMetricsF(font(self._word_px)).horizontalAdvance(self.text())
        air = 8 if self._is_low else 19
        return QSize(
            max(round(width) + 12, 44), max(self._icon_px + scaled(self._word_px) + air, 36)
        )

    def minimumSizeHint(self) -> QSize:
        """Return the same."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw icon and word."""
        painter = QPainter(self)
        try:
            box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
            self.draw_ground(painter, box)
            side = self._icon_px
            at = QRectF((self.width() - side) / 2, 2 if self._is_low else 7, side, side)
            draw_icon(painter, self._icon, at, self.ink())
            painter.setFont(font(self._word_px, bold=self.isChecked()))
            painter.setPen(self.ink())
            air = 1 if self._is_low else 5
            words = QRectF(0, at.bottom(), self.width(), self.height() - at.bottom() - air)
            painter.drawText(words, int(Qt.AlignHCenter | Qt.AlignVCenter), self.text())
        finally:
            painter.end()


class Tile(DrawnButton):
    """A larger button: icon, word, a line under it, and its key in the corner."""

    def __init__(
        self,
        icon: str,
        word: str,
        line: str = "",
        *,
        key: str = "",
        tip: str = "",
        height: int = 62,
        icon_px: int = 34,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(word, tip=tip, parent=parent)
        self._icon, self._line, self._key = icon, line, key
        self._height, self._icon_px = height, icon_px
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Fixed)

    def set_line(self, line: str) -> None:
        """Change the line under the word."""
        self._line = line
        self.setAccessibleDescription(line)
        self.update()

    def sizeHint(self) -> QSize:
        """Return room for two lines."""
        return QSize(124, max(self._height, scaled(17) + scaled(15) + 22))

    def minimumSizeHint(self) -> QSize:
        """Return the same."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw icon, word, line and key."""
        painter = QPainter(self)
        try:
            box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            self.draw_ground(painter, box, has_edge=True)
            side = float(self._icon_px)
            at = QRectF(14, (self.height() - side) / 2, side, side)
            draw_icon(painter, self._icon, at, self.ink(), line=1.5)
            left = at.right() + 13
            words = QRectF(left, 0, self.width() - left - 10, self.height())
            half = self.height() / 2
            painter.setPen(self.ink())
            painter.setFont(font(17, bold=True))
            word_box = words.adjusted(0, 6, 0, -half) if self._line else words
            painter.drawText(word_box, int(Qt.AlignLeft | Qt.AlignVCenter), self.text())
            if self._line:
                painter.setPen(QColor(colours.GREY_INK))
                painter.setFont(font(15))
                line_box = words.adjusted(0, half, 0, -6)
                painter.drawText(line_box, int(Qt.AlignLeft | Qt.AlignVCenter), self._line)
            if self._key:
                painter.setPen(QColor(colours.GREY_INK))
                painter.setFont(font(14))
                key_box = QRectF(self.width() - 24, 7, 16, scaled(14) + 4)
                painter.drawText(key_box, int(Qt.AlignRight | Qt.AlignTop), self._key)
        finally:
            painter.end()


class BigTile(DrawnButton):
    """One of the three ways to begin: a large icon over a word and a line."""

    def __init__(
        self, icon: str, word: str, line: str, *, tip: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(word, tip=tip, parent=parent)
        self._icon, self._line = icon, line
        self.setAccessibleDescription(line)
        self.setSizePolicy(QSizePolicy.Expanding, QSizePolicy.Expanding)
        self.setMaximumHeight(240)

    def sizeHint(self) -> QSize:
        """Return its usual size."""
        return QSize(260, 208)

    def minimumSizeHint(self) -> QSize:
        """Return what it needs at least."""
        return QSize(170, 122)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw icon, word and line, less air in low windows."""
        painter = QPainter(self)
        try:
            box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            self.draw_ground(painter, box, has_edge=True)
            is_low = self.height() < 170
            is_narrow = self.width() < 240 * text_scale()
            side = 34.0 if is_low else 58.0
            room = scaled(20) + (3.6 if is_narrow else 2.6) * scaled(16) + 22
            top = max((self.height() - side - room) / 2, 8)
            at = QRectF((self.width() - side) / 2, top, side, side)
            draw_icon(painter, self._icon, at, self.ink(), line=1.3)
            painter.setPen(self.ink())
            painter.setFont(font(16 if is_narrow else 20, serif=True))
            below = at.bottom() + (6 if is_low else 14)
            words = QRectF(10, below, self.width() - 20, scaled(20) + 8)
            painter.drawText(words, Qt.AlignCenter, self.text())
            painter.setPen(QColor(colours.GREY_INK))
            painter.setFont(font(15 if is_narrow else 16))
            side_air = 12 if is_narrow else 18
            lines = QRectF(side_air, words.bottom() + 2, self.width() - 2 * side_air, self.height())
            painter.drawText(
                lines, int(Qt.AlignHCenter | Qt.AlignTop | Qt.TextWordWrap), self._line
            )
        finally:
            painter.end()
