"""The aerial picture that a property keeps: written beside the grids, there again when reopened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
from PyQt5.QtCore import QObject, pyqtSignal
from PyQt5.QtGui import QImage

from funnelfinder.errors import FunnelFinderError
from funnelfinder.files import property_file
from funnelfinder.grid import Grid, snapped_grid
from funnelfinder.ground import Origin, travel_grid
from funnelfinder.kernels import AnyArray
from funnelfinder.marks import Property

from .canvas.pyramid import image_of, pyramid_of
from .desk import Desk
from .workers import start_job

#: A screen shows no more cells than this on a side.
_MOST_SIDE: Final = 2400
_LEAST_CELL_M: Final = 0.5


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A picture ready to be shown: its sizes, and where they lie; ``path`` is the property's."""

    path: Path
    levels: tuple[QImage, ...]
    grid: Grid


class KeptPictures(QObject):
    """Keeps pictures and crops in the open property and reads the picture of one just opened.

    ``kept`` tells that what was given is written; ``found`` that the property has a picture.
    """

    kept = pyqtSignal()
    found = pyqtSignal(object)

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._is_waiting = False
        #: Whether the picture that is read was written in this sitting.
        self.was_just_kept = False
        desk.opened.connect(self._opened)
        desk.kept_changed.connect(self._written)

    def _opened(self) -> None:
        """Read the picture of another property."""
        self._is_waiting = self.was_just_kept = False
        self.read()

    def keep(
        self,
        *,
        crops: Any = None,
        picture: property_file.Picture | None = None,
        origins: Sequence[Origin] = (),
    ) -> None:
        """Write a picture, crops, or both into the open property; no step of undo."""
        one = self._desk.open
        if one is None or one.is_only_looking:
            return
        path, epsg = one.path, one.place.epsg
        self.was_just_kept = picture is not None
        for sort, things in (("crops", {"crops": crops}), ("picture", {"picture": picture})):
            if things[sort] is not None:
                own = tuple(origin for origin in origins if origin.kind == sort)
                one.keeper.keep(
                    sort,
                    lambda things=things, own=own: property_file.save_brought(  # type: ignore[misc]
                        path, epsg=epsg, origins=own, **things
                    ),
                    f"the {sort}",
                )
        self._is_waiting = True

    def keep_own(self, file: Path) -> None:
        """Keep the window of a picture of one's own."""
        one = self._desk.open
        if one is not None and not one.is_only_looking:
            place = one.place
            start_job(
                lambda progress: _own(file, place), done=self._take_own, failed=self._not_kept
            )

    def _take_own(self, made: tuple[Property, property_file.Picture, Origin]) -> None:
        """Write the window of a picture of one's own."""
        place, picture, origin = made
        one = self._desk.open
        if one is not None and one.place.boundary is place.boundary:
            self.keep(picture=picture, origins=(origin,))

    def _not_kept(self, error: Exception) -> None:
        """Tell why a picture cannot be kept."""
        if not isinstance(error, FunnelFinderError | OSError):
            raise error
        self._desk.tell_error(error)

    def _written(self) -> None:
        """Read the picture again once all is written."""
        one = self._desk.open
        if self._is_waiting and one is not None and not one.keeper.is_waiting:
            self._is_waiting = False
            self.kept.emit()
            self.read()

    def read(self) -> None:
        """Read the picture of the open property in a thread."""
        one = self._desk.open
        if one is None:
            return
        path, place = one.path, one.place
        start_job(
            lambda progress: _kept(path, place), done=self._read, failed=self._desk.tell_error
        )

    def _read(self, shown: Shown | None) -> None:
        """Hand the picture over, unless another property is open by now."""
        one = self._desk.open
        if shown is not None and one is not None and one.path == shown.path:
            self.found.emit(shown)


def _own(file: Path, place: Property) -> tuple[Property, property_file.Picture, Origin]:
    """Return the window of a picture over a property; runs in a thread."""
    from funnelfinder.files.own_picture import own_picture

    return (place, *own_picture(file, place))


def _kept(path: Path, place: Property) -> Shown | None:
    """Return the picture that a property keeps, ready to be shown; runs in a thread."""
    west, south, east, north = travel_grid(place).bounds_m
    cell = max(max(east - west, north - south) / _MOST_SIDE, _LEAST_CELL_M)
    grid = snapped_grid((west, south, east, north), cell_m=cell, epsg=place.epsg)
    colours = property_file.load_picture(path, grid)
    if colours is None:
        return None
    return Shown(path=path, levels=levels_of(colours), grid=grid)


def levels_of(colours: AnyArray) -> tuple[QImage, ...]:
    """Return a picture at several sizes; plain white, where it ends, lets the relief through."""
    opacity = np.where((colours == 255).all(axis=-1), 0, 255).astype(np.uint8)
    return pyramid_of(image_of(np.dstack([colours, opacity])))
