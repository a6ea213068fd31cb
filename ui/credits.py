"""Shows on the map whose ground and picture it shows."""

from __future__ import annotations

from PyQt5.QtCore import QObject

from funnelfinder.ground import Origin, credit_lines

from .bringing import Bringing
from .canvas.pane import MapPane
from .desk import Desk

#: Which layer shows what came from an origin of a kind.
_LAYERS = {"elevation": "relief", "cover": "cover", "picture": "picture"}


class Credits(QObject):
    """Keeps the credit line in step with the layers that are shown."""

    def __init__(self, desk: Desk, pane: MapPane, bringing: Bringing) -> None:
        super().__init__(desk)
        self._desk, self._pane, self._bringing = desk, pane, bringing
        desk.opened.connect(self.show)
        desk.grids_changed.connect(self.show)
        desk.layers_changed.connect(lambda _name: self.show())
        bringing.changed.connect(self.show)

    def show(self) -> None:
        """Say the credit lines of what is shown."""
        one = self._desk.open
        grids = one.grids if one is not None else None
        # What lies on top comes first.
        origins: tuple[Origin, ...] = (*self._bringing.origins, *(grids.origins if grids else ()))
        layers = self._desk.preferences.layers
        shown = [
            origin
            for origin in origins
            if origin.kind in _LAYERS and layers[_LAYERS[origin.kind]].is_shown
        ]
        self._pane.credit.say(credit_lines(shown))
        self._pane.lay_out()
