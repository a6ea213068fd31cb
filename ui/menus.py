"""The two menus: at the name, and the whole sitting at Undo."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QMenu

if TYPE_CHECKING:
    from .main_window import MainWindow


class WindowMenus:
    """Shows the menus."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window

    def show_name_menu(self) -> None:
        """Offer recent properties, a new one, close, and how numbers are written."""
        menu = QMenu(self._window)
        menu.addAction("Open…", lambda: self._window.begin("open"))
        menu.addAction("Walk over the sample", lambda: self._window.begin("sample"))
        menu.addSeparator()
        metric = menu.addAction("Metres and hectares")
        metric.setCheckable(True)
        metric.setChecked(self._window.desk.is_metric)
        metric.toggled.connect(self._set_metric)
        menu.addSeparator()
        menu.addAction("Close this property").triggered.connect(
            lambda _checked=False: self._window.leaving.close()
        )
        menu.setAttribute(Qt.WA_DeleteOnClose)
        menu.popup(
            self._window.header.name.mapToGlobal(self._window.header.name.rect().bottomLeft())
        )

    def _set_metric(self, is_metric: bool) -> None:
        """Write numbers in metres or in yards."""
        units = "metric" if is_metric else "yards"
        self._window.desk.prefer(replace(self._window.desk.preferences, units=units))

    def show_sitting(self) -> None:
        """Show the whole sitting as a list to go back to."""
        one = self._window.desk.open
        if one is None:
            return
        menu = QMenu(self._window)
        menu.setAttribute(Qt.WA_DeleteOnClose)
        for number, name in reversed(list(enumerate(one.history.names, start=1))):
            deed = menu.addAction(name[:1].upper() + name[1:])
            deed.setEnabled(number != one.history.n_done)
            deed.triggered.connect(lambda _checked=False, number=number: one.go_to(number))
        menu.addAction("As it was opened", lambda: one.go_to(0))
        menu.popup(
            self._window.header.undo.mapToGlobal(self._window.header.undo.rect().bottomLeft())
        )
