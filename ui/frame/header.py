"""The header: whose ground it is, the footpath, and Undo, Redo, Help."""

from __future__ import annotations

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtGui import QFontMetricsF, QPainter, QPaintEvent, QResizeEvent
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QLabel, QToolTip, QVBoxLayout, QWidget

from ..controls import DrawnButton, IconWord, label
from ..look import colours
from ..look.fonts import font
from ..look.icons import draw_icon
from .footpath import Footpath


class NameButton(DrawnButton):
    """The property's name; opens recent, new, close."""

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the name in serif and the arrow beside it."""
        from PyQt5.QtCore import QRectF

        painter = QPainter(self)
        try:
            self.draw_ground(painter, QRectF(self.rect()).adjusted(0, 1, 0, -1))
            painter.setFont(font(24, serif=True))
            painter.setPen(self.ink())
            metrics = QFontMetricsF(painter.font())
            room = self.width() - 36
            text = metrics.elidedText(self.text(), Qt.ElideRight, room)
            painter.drawText(QRectF(4, 0, room, self.height()), Qt.AlignVCenter, text)
            at = QRectF(metrics.horizontalAdvance(text) + 11, self.height() / 2 - 8, 18, 18)
            draw_icon(painter, "down", at, self.ink())
        finally:
            painter.end()


class Header(QFrame):
    """What stands above column and map."""

    name_clicked = pyqtSignal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("header")
        self.setFrameShape(QFrame.NoFrame)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 8, 0)
        row.setSpacing(0)
        self._left = QWidget()
        left = QVBoxLayout(self._left)
        left.setContentsMargins(20, 6, 8, 6)
        left.setSpacing(0)
        self.name = NameButton("", tip="Open another property, start a new one, or close this.")
        self.name.setFixedHeight(38)
        self.name.clicked.connect(self.name_clicked)
        self.kept: QLabel = label("", "small", is_wrapped=False)
        self.kept.setContentsMargins(4, 0, 0, 4)
        left.addStretch(1)
        left.addWidget(self.name)
        left.addWidget(self.kept)
        left.addStretch(2)
        row.addWidget(self._left)
        self.footpath = Footpath()
        row.addWidget(self.footpath, 1)
        self.undo = IconWord("undo", "Undo", tip="Nothing to take back yet. Ctrl+Z.")
        self.redo = IconWord("redo", "Redo", tip="Nothing to do again. Ctrl+Y.")
        self.help = IconWord("help", "Help", tip="All keys on one page. F1.")
        for button in (self.undo, self.redo, self.help):
            row.addWidget(button, 0, Qt.AlignTop)
        self.show_name("", "")

    def set_left_width(self, width: int) -> None:
        """Keep the name as wide as the column."""
        self._left.setFixedWidth(width)

    def set_low(self, is_low: bool) -> None:
        """Keep only one line in very low windows."""
        self.kept.setVisible(not is_low and bool(self.kept.text()))
        for button in (self.undo, self.redo, self.help):
            button.set_low(is_low)

    def show_name(self, name: str, kept: str) -> None:
        """Show whose ground it is, and that it is kept."""
        self.name.setText(name or "Funnelfinder")
        self.name.setAccessibleName(f"Property: {name}" if name else "Open a property")
        self.kept.setText(kept)
        self.kept.setVisible(bool(kept) and self.height() > 60)

    def show_history(self, undo: str, redo: str) -> None:
        """Name the deeds that undo and redo mean."""
        self.undo.setEnabled(bool(undo))
        self.redo.setEnabled(bool(redo))
        for button, word, deed, key in (
            (self.undo, "Undo", undo, "Ctrl+Z"),
            (self.redo, "Redo", redo, "Ctrl+Y"),
        ):
            said = f"{word}: {deed}" if deed else f"Nothing to {word.lower()}"
            button.setAccessibleName(said)
            button.setToolTip(f"{said}. {key}. Press and hold for the whole sitting.")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave room for the words."""
        super().resizeEvent(event)
        is_narrow = self.width() < 900
        self.help.setVisible(not is_narrow or self.width() > 680)

    def say_at_name(self, words: str) -> None:
        """Show a word at the name for a moment."""
        at = self.name.mapToGlobal(self.name.rect().bottomLeft())
        QToolTip.showText(at, words, self.name)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the strip of earth under the whole header."""
        super().paintEvent(event)
        if self.height() < 60:
            return
        painter = QPainter(self)
        try:
            strip = 17
            painter.fillRect(
                0,
                self.height() - strip,
                self.width(),
                strip - 1,
                colours.colour(colours.WELL, 0.9),
            )
        finally:
            painter.end()
