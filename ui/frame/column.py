"""The column: the current step and only that; its foot holds one plain line and one button."""

from __future__ import annotations

from typing import Final

from PyQt5.QtCore import Qt
from PyQt5.QtGui import QResizeEvent
from PyQt5.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from ..controls import label, solid_button
from ..look import icon
from ..panels.step import Foot, StepPanel

#: Below this height the caution has no frame of its own [px].
_TIGHT: Final = 400


class Column(QWidget):
    """A step's title, words and panel, and the foot that never scrolls."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._panel: StepPanel | None = None
        self._foot_now: Foot | None = None
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(0)
        body = QFrame()
        body.setObjectName("column")
        outer.addWidget(body, 1)
        inner = QVBoxLayout(body)
        inner.setContentsMargins(0, 0, 1, 0)
        self.pages = QScrollArea()
        self.pages.setWidgetResizable(True)
        self.pages.setHorizontalScrollBarPolicy(Qt.ScrollBarAlwaysOff)
        self.pages.setFocusPolicy(Qt.NoFocus)
        self.pages.verticalScrollBar().rangeChanged.connect(self._leave_room)
        inner.addWidget(self.pages)
        self.caution = QFrame()
        self.caution.setObjectName("caution-foot")
        words = QHBoxLayout(self.caution)
        words.setContentsMargins(24, 8, 20, 9)
        words.setSpacing(10)
        sign = QLabel()
        sign.setPixmap(icon("caution").pixmap(22, 22))
        sign.setAccessibleName("Caution")
        words.addWidget(sign, 0, Qt.AlignTop)
        self._caution_words = label("", "plain")
        words.addWidget(self._caution_words, 1)
        self.caution.hide()
        outer.addWidget(self.caution)
        outer.addWidget(self._make_foot())

    def _make_foot(self) -> QFrame:
        """Return the foot."""
        foot = QFrame()
        foot.setObjectName("foot")
        column = QVBoxLayout(foot)
        column.setContentsMargins(24, 11, 24, 14)
        column.setSpacing(8)
        self.line = label("", "second")
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.bar.setRange(0, 1000)
        self.bar.setAccessibleName("How far the work is")
        self.bar.hide()
        self.button = solid_button("")
        self.button.setObjectName("next")
        self.button.clicked.connect(lambda _checked=False: self.press())
        column.addWidget(self.line)
        column.addWidget(self.bar)
        column.addWidget(self.button)
        self.foot = foot
        return foot

    @property
    def panel(self) -> StepPanel | None:
        """The step that is shown."""
        return self._panel

    def show_panel(self, panel: StepPanel) -> None:
        """Show another step; panels are kept by the window."""
        if panel is self._panel:
            return
        old: QWidget | None = self.pages.takeWidget()
        if old is not None:
            # Out of the scroll area, or showing the next panel would delete this one.
            old.setParent(self)
            old.hide()
        if self._panel is not None:
            self._panel.foot_changed.disconnect(self.show_foot)
        self._panel = panel
        self.pages.setWidget(panel)
        panel.show()
        panel.foot_changed.connect(self.show_foot)
        self.show_foot()

    def show_foot(self) -> None:
        """Show the step's plain line and its button."""
        if self._panel is None:
            return
        foot = self._panel.foot()
        self._foot_now = foot
        # Where there is no room for the straw, the caution stands in the line.
        is_tight = bool(foot.caution) and self.height() < _TIGHT
        line = foot.caution if is_tight else foot.line
        self.line.setText(line)
        self.line.setVisible(bool(line))
        self._caution_words.setText(foot.caution)
        self.caution.setVisible(bool(foot.caution) and not is_tight)
        self.button.setText(foot.button)
        self.button.setAccessibleName(foot.button)
        self.button.setVisible(bool(foot.button))
        self.button.setEnabled(foot.is_ready)
        self.button.setToolTip(foot.tip)
        self.bar.setVisible(foot.share is not None)
        self.bar.setValue(round(1000 * (foot.share or 0.0)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Follow the height."""
        super().resizeEvent(event)
        self.show_foot()

    def press(self) -> None:
        """Do what the button says."""
        if self._foot_now is not None and self._foot_now.is_ready:
            self._foot_now.act()

    def _leave_room(self, least: int, most: int) -> None:
        """Keep the right edge where it is when the scroll bar comes or goes."""
        if self._panel is not None:
            margins = self._panel.layout().contentsMargins()
            margins.setRight(14 if most > least else 24)
            self._panel.layout().setContentsMargins(margins)

    def set_low(self, is_low: bool) -> None:
        """Leave less air in low windows."""
        margins = (24, 5, 24, 7) if is_low else (24, 11, 24, 14)
        self.foot.layout().setContentsMargins(*margins)
        self.foot.layout().setSpacing(4 if is_low else 8)
