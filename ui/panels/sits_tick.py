"""The tick that takes stands and ways along."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt, pyqtSignal
from PyQt5.QtWidgets import QHBoxLayout, QWidget

from funnelfinder.files.take_along import file_stem

from ..controls import Tick, label
from ..look.said import said_count
from ..taking_sits import SitPack, pack_of

if TYPE_CHECKING:
    from ..desk import Desk
    from ..sits import SitWork


class SitsTick(QWidget):
    """Stands and ways in and out on the wind that is set; they are looked for once it is ticked.

    ``changed`` tells that something else goes along.
    """

    changed = pyqtSignal()

    def __init__(self, desk: Desk, sits: SitWork) -> None:
        super().__init__()
        self._desk, self._sits = desk, sits
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        self.tick = Tick(
            "Stands and ways in",
            tip="Points and tracks in a GPX file of their own, for the wind set in Later.",
        )
        self.tick.clicked.connect(self._ticked)
        self.count = label("", "small", is_wrapped=False)
        row.addWidget(self.tick, 1)
        row.addWidget(self.count, 0, Qt.AlignRight | Qt.AlignVCenter)
        sits.changed.connect(self._sits_changed)

    def _ticked(self, is_on: bool) -> None:
        """Look for stands and ways, or leave it."""
        self._sits.want(is_on)
        self.changed.emit()

    def _sits_changed(self) -> None:
        """Count what is known now."""
        if self.isVisible() and self.tick.isChecked():
            self.changed.emit()

    def put_away(self) -> None:
        """Look no further: another step is shown."""
        if self.tick.isChecked():
            self._sits.want(False)

    def take_up(self) -> None:
        """Look again: this step is shown."""
        if self.tick.isChecked():
            self._sits.want(True)

    def refresh(self) -> None:
        """Show what goes along."""
        self.tick.setEnabled(self._sits.can_ask)
        pack = self.pack()
        if not self._sits.can_ask:
            words = "out of date"
        elif not self.tick.isChecked():
            words = "as GPX"
        elif pack is None:
            words = "looking"
        else:
            words = f"{len(pack.stands)}, {said_count(pack.n_ways, 'way')}"
        self.count.setText(words)

    def pack(self) -> SitPack | None:
        """Return what goes along; None where it is not ticked or not known yet."""
        one, sits = self._desk.open, self._sits.sits
        if one is None or sits is None or not self.tick.isChecked():
            return None
        half = self._desk.hour.half.value
        place = one.place
        return pack_of(sits, half, epsg=place.epsg, name=place.name, stem=file_stem(place.name))
