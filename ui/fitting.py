"""The sizes of header and column in every window, and the drawer of narrow ones."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import QRect
from PyQt5.QtWidgets import QApplication, QWidget

from .look import set_text_scale, text_scale
from .look.style import sheet

if TYPE_CHECKING:
    from .main_window import MainWindow

_DRAWER_BELOW: Final = 900
_LOW_BELOW: Final = 520


class Fitting:
    """Gives the regions of a window their sizes."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self.is_drawer_open = False

    def is_narrow(self) -> bool:
        """Return whether the column is a drawer."""
        return self._window.width() < _DRAWER_BELOW * text_scale()

    def fit(self) -> None:
        """Give header and column their sizes."""
        scale = text_scale()
        wide, high = self._window.width() / scale, self._window.height() / scale
        is_low = high < _LOW_BELOW
        header = 48 if is_low else 76 if high < 800 else 92
        column = 440 if wide >= 2200 else 368 if wide >= 1400 else 320
        self._window.header.setFixedHeight(round(header * scale))
        self._window.header.set_low(is_low)
        width = round(column * scale)
        narrow = self.is_narrow()
        name = 150 if self._window.width() < 700 else 214
        left = round(name * scale) if narrow else width
        self._window.header.set_left_width(left)
        self._window.column.setFixedWidth(min(width, self._window.width() - 60))
        self._window.column.set_low(high < 800)
        self.lay_drawer()

    def lay_drawer(self) -> None:
        """Let the column lie over the map in narrow windows."""
        is_drawer = self.is_narrow()
        if is_drawer and self._window.row.indexOf(self._window.column) >= 0:
            self._window.row.removeWidget(self._window.column)
            self._window.column.setParent(self._window.below)
            self.is_drawer_open = True
        elif not is_drawer and self._window.row.indexOf(self._window.column) < 0:
            self._window.row.insertWidget(0, self._window.column)
        if is_drawer:
            high = self._window.height() - self._window.header.height()
            self._window.column.setGeometry(QRect(0, 0, self._window.column.width(), high))
            self._window.column.setVisible(self.is_drawer_open)
            self._window.column.raise_()
        else:
            self._window.column.show()
        covers = is_drawer and self.is_drawer_open
        self._window.map.set_left_cover(self._window.column.width() if covers else 0)
        self._window.keep_whole()

    def make_way(self) -> None:
        """Let a drawer go from over the map."""
        self.is_drawer_open = False
        if self.is_narrow():
            self.lay_drawer()

    def show_drawer(self) -> None:
        """Let a drawer come that has something to ask."""
        self.is_drawer_open = True
        if self.is_narrow():
            self.lay_drawer()

    def set_text_size(self, scale: float) -> None:
        """Read larger or smaller; the layout follows as in a smaller window."""
        kept = set_text_scale(scale)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.setStyleSheet(sheet())
        self._window.desk.prefer(replace(self._window.desk.preferences, text_scale=kept))
        self.fit()
        for widget in self._window.findChildren(QWidget):
            widget.updateGeometry()
            widget.update()
        self._window.map.lay_out()
