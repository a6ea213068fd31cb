"""The picture under the map, and drawing the boundary of a new property on one of one's own."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import shapely
from PyQt5.QtCore import QObject, pyqtSignal

from .canvas.pane import MapPane
from .canvas.pyramid import image_of, pyramid_of
from .desk import Desk
from .gestures import Point
from .kept_pictures import KeptPictures, Shown
from .map_work import MapWork
from .opening import Opening
from .remembered import Layer

if TYPE_CHECKING:
    from funnelfinder.files.backdrop_in import Backdrop


class BackdropWork(QObject):
    """Shows backdrops; without a property the hand draws a boundary on them.

    ``sketching`` tells that a boundary is being drawn without a property, or no longer.
    """

    sketching = pyqtSignal(bool)

    def __init__(self, desk: Desk, pane: MapPane, opening: Opening, map_work: MapWork) -> None:
        super().__init__(desk)
        self._desk, self._pane = desk, pane
        self._opening, self._map_work = opening, map_work
        #: A picture or relief of this sitting, the file of a picture that is to be kept, and the
        #: picture that the property keeps.
        self._backdrop: Backdrop | None = None
        self._file: Path | None = None
        self._kept: Shown | None = None
        self.is_sketching = False
        self.pictures = KeptPictures(desk)
        self.pictures.found.connect(self._found_kept)
        opening.backdrop_found.connect(self._found)
        desk.layers_changed.connect(lambda name: self._show() if name == "picture" else None)
        desk.opened.connect(self._opened)

    def _found(self, backdrop: Backdrop) -> None:
        """Show a picture and keep it; without a property let the hand draw on it."""
        self._backdrop, self._file = backdrop, self._opening.picture
        if self._desk.open is None:
            grid = backdrop.grid
            self._pane.view.show_origin(round(grid.west_m), round(grid.south_m))
            self.is_sketching = True
            self.sketching.emit(True)
            self._map_work.draw_boundary(self._drew)
            self._show()
            margins = self._pane.free_margins()
            self._pane.view.look(self._pane.view.outlook.fitted(grid.bounds_m, margins))
            return
        self._show_layer()
        self._keep()

    def _found_kept(self, shown: Shown) -> None:
        """Show the picture that the property keeps; one that was just brought in is shown."""
        self._kept, self._backdrop = shown, None
        if self.pictures.was_just_kept:
            self._show_layer()
        self._show()

    def _show_layer(self) -> None:
        """Show the layer of the picture from now on."""
        layer = self._desk.preferences.layers["picture"]
        self._desk.show_layer("picture", Layer(is_shown=True, strength=layer.strength))

    def _keep(self) -> None:
        """Keep a picture with the property; the relief of a grid is none."""
        if self._file is not None:
            self.pictures.keep_own(self._file)

    def _drew(self, corners: tuple[Point, ...]) -> None:
        """Make a property of the boundary."""
        backdrop = self._backdrop
        if backdrop is not None:
            boundary = shapely.MultiPolygon([shapely.Polygon(corners)])
            name = Path(backdrop.name).stem.replace("_", " ").replace("-", " ").capitalize()
            self._opening.new_property(name, backdrop.grid.epsg, boundary)

    def _opened(self) -> None:
        """Keep the picture that a boundary was drawn on; forget that of another property."""
        one = self._desk.open
        was_sketching, self.is_sketching = self.is_sketching, False
        keeps = (
            was_sketching
            and one is not None
            and self._backdrop is not None
            and one.place.epsg == self._backdrop.grid.epsg
        )
        if was_sketching:
            self.sketching.emit(False)
        self._kept = None
        if keeps:
            self._keep()
        else:
            self._backdrop = self._file = None
        self._show(is_wanted=keeps)

    def _show(self, *, is_wanted: bool = False) -> None:
        """Show the picture as its layer says; always while one draws on it."""
        layer = self._desk.preferences.layers["picture"]
        backdrop = self._backdrop
        is_shown = layer.is_shown or self.is_sketching or is_wanted
        if backdrop is None and self._kept is not None and is_shown:
            self._pane.view.show_picture(self._kept.levels, self._kept.grid, layer.strength)
            return
        if backdrop is None or not is_shown:
            self._pane.view.show_picture((), None, 1.0)
            return
        levels = pyramid_of(image_of(backdrop.colours))
        self._pane.view.show_picture(levels, backdrop.grid, layer.strength)
