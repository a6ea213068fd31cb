"""Opening what a person brings: property files, boundaries, grids, pictures, marks."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Final

import shapely
from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import FunnelFinderError, InputError, PropertyFileError
from funnelfinder.files import property_file
from funnelfinder.marks import Property

from . import edits
from .canvas.slip import SlipWords
from .desk import Desk
from .looking_into import (
    Brought,
    by_kind,
    created,
    looked_into,
    opened_outline,
    read,
    read_marks_of,
    said_marks,
    seen,
)
from .open_property import OpenProperty
from .paths import properties_folder, unused_path
from .sample import make_sample
from .stops import Stop
from .workers import Job, start_job

OUTLINE_ENDS: Final = (".gpkg", ".geojson", ".json", ".kml", ".kmz", ".gpx", ".shp", ".zip")
GRID_ENDS: Final = (".tif", ".tiff", ".img", ".vrt", ".mbtiles")
TABLE_ENDS: Final = (".csv",)
CANNOT: Final = (
    "This cannot be read here. Boundaries come as GeoPackage, GeoJSON, KML, GPX or shapefile; "
    "grids as GeoTIFF."
)


class Opening(QObject):
    """Opens files in a thread and puts what they hold on the desk.

    ``waiting_changed`` tells that a grid waits for its other half; ``backdrop_found`` a picture
    to look at; ``tables_found`` camera tables.
    """

    waiting_changed = pyqtSignal()
    backdrop_found = pyqtSignal(object)
    tables_found = pyqtSignal(list)

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._job: Job | None = None
        self.elevation: tuple[Path, ...] = ()
        self.cover: tuple[Path, ...] = ()
        #: The file of the newest backdrop where it is a picture, not the relief of a grid.
        self.picture: Path | None = None
        #: Asked before all else; true takes the files over.
        self.asked_first: list[Callable[[Sequence[Path]], bool]] = []
        desk.opened.connect(self._forget)

    @staticmethod
    def can_read(paths: Sequence[Path]) -> bool:
        """Return whether these files can be opened, by their names."""
        return bool(paths) and all(
            path.suffix.lower() in (*OUTLINE_ENDS, *GRID_ENDS, *TABLE_ENDS) for path in paths
        )

    def open_files(self, paths: Sequence[Path]) -> None:
        """Open files that were chosen or dropped."""
        if any(ask(paths) for ask in self.asked_first):
            return
        if not self.can_read(paths):
            names = ", ".join(path.name for path in paths)
            self._desk.tell_error(InputError(CANNOT, where=names))
            return
        tables = [path for path in paths if path.suffix.lower() in TABLE_ENDS]
        if tables:
            self._open_tables(tables)
            return
        outlines = [path for path in paths if path.suffix.lower() in OUTLINE_ENDS]
        grids = [path for path in paths if path.suffix.lower() in GRID_ENDS]
        if outlines:
            self._open_outline(outlines[0])
        if grids and not outlines:
            self.add_grids(grids)
        elif grids:
            # The grids wait until the boundary beside them is open.
            self._later = tuple(grids)

    _later: tuple[Path, ...] = ()

    def _open_tables(self, paths: list[Path]) -> None:
        """Hand camera tables to who reads them."""
        if self._desk.open is None:
            names = ", ".join(path.name for path in paths)
            error = InputError(
                "Camera tables need a property to belong to.",
                where=names,
                remedy="Open the property first, then drop them again.",
            )
            self._desk.tell_error(error)
        else:
            self.tables_found.emit(paths)

    def _open_outline(self, path: Path) -> None:
        """Open a vector file: marks for the open property, or another property."""
        one = self._desk.open
        if one is None:
            self.open_property(path)
            return
        epsg = one.place.epsg
        self._start("Opening", lambda progress: looked_into(path, epsg), self._looked_into)

    def _looked_into(self, brought: Brought) -> None:
        """Take marks, open a property, or ask which of the two a file is meant to be."""
        path = brought.path
        if brought.marks and path is not None:
            self._end()
            self._take_marks(path, brought)
        elif brought.said and path is not None:
            self._end()
            self._desk.tell(
                SlipWords(
                    title=f"What is {path.name}?",
                    body=f"{brought.said} say what they are, the others do not.",
                    actions=(
                        ("Add its marks", lambda: self.add_marks(path)),
                        ("Open it as a boundary", lambda: self.open_property(path)),
                    ),
                )
            )
        else:
            self._opened(brought)

    def add_marks(self, path: Path) -> None:
        """Add the marks of a file to the open property."""
        one = self._desk.open
        if one is not None:
            epsg = one.place.epsg
            self._start(
                "Reading the marks", lambda progress: read_marks_of(path, epsg), self._read_marks
            )

    def _read_marks(self, brought: Brought) -> None:
        """Add marks that were read."""
        self._end()
        if brought.path is not None:
            self._take_marks(brought.path, brought)

    def _take_marks(self, path: Path, brought: Brought) -> None:
        """Add marks as one change, and say how many of each kind came."""
        if self._desk.do(edits.add_marks(brought.marks, path.name)):
            self._desk.go_to(Stop.MARKS)
            body = " ".join((f"{said_marks(brought.marks)}.", *brought.notes))
            self._desk.tell(SlipWords(title=f"From {path.name}", body=body))

    def open_sample(self) -> None:
        """Open a fresh copy of the sample property."""
        self._start(
            "Laying out the sample",
            lambda progress: Brought(path=make_sample(properties_folder(), progress)),
            self._opened,
        )

    def open_property(self, path: Path) -> None:
        """Open a property file."""
        self._start("Opening", lambda progress: opened_outline(path), self._opened)

    def new_property(self, name: str, epsg: int, boundary: shapely.MultiPolygon) -> None:
        """Make a property of a boundary that was drawn."""
        place = Property(name=name, epsg=epsg, boundary=boundary)
        path = unused_path(properties_folder(), name)
        self._start("Opening", lambda progress: created(path, place), self._opened)

    def add_grids(self, paths: Sequence[Path]) -> None:
        """Take grids for the open property; each waits until the other kind is there."""
        if self._desk.open is None:
            self.show_backdrop(paths[0])
            return
        self._start("Looking at the files", lambda progress: by_kind(paths), self._sorted)

    def show_backdrop(self, path: Path) -> None:
        """Read a picture or grid to look at, or to draw the boundary on."""
        one = self._desk.open
        epsg = one.place.epsg if one is not None else None
        self._start("Reading the picture", lambda progress: seen(path, epsg), self._looked_at)

    def _looked_at(self, brought: Brought) -> None:
        """Hand a backdrop over."""
        self._end()
        self.picture = next(iter(brought.pictures), None)
        self.backdrop_found.emit(brought.grids)

    def forget_waiting(self) -> None:
        """Put the grids that wait away."""
        self.elevation = self.cover = ()
        self.waiting_changed.emit()

    def _forget(self) -> None:
        """Forget what waited for another property."""
        self.elevation = self.cover = ()

    def _start(self, name: str, work: Any, done: Any) -> None:
        """Run work in a thread, with its progress on the desk."""
        if self._job is not None:
            return
        self._job = start_job(
            work,
            done=done,
            failed=self._failed,
            progress=self._desk.go_on,
            stopped=self._stopped,
        )
        self._desk.begin_work(name, self._job.stop)

    def _end(self) -> None:
        """Note that the work ended."""
        self._job = None
        self._desk.end_work()

    def _failed(self, error: Exception) -> None:
        """Tell what could not be opened."""
        self._end()
        self._later = ()
        if isinstance(error, FunnelFinderError | OSError):
            self._desk.tell_error(error)
        else:
            raise error

    def _stopped(self) -> None:
        """Tell that it was stopped."""
        self._end()
        self._desk.tell(SlipWords(title="Stopped", body="Everything is as it was before."))

    def _opened(self, brought: Brought) -> None:
        """Put a property on the desk."""
        self._end()
        path = brought.path
        if brought.pictures:
            self.show_backdrop(brought.pictures[0])
        now = self._desk.open
        if path is None or (now is not None and now.path.resolve() == path.resolve()):
            return
        one = self._taken(path)
        if one is None:
            return
        if not self._close_open():
            one.let_go()
            return
        self._desk.set_open(one)
        self._desk.go_to(first_stop(one))
        if one.is_only_looking:
            self._desk.tell(
                SlipWords(
                    title="Only looking",
                    body=f"Another window has {one.place.name} open. Close that one to change "
                    "things here.",
                )
            )
        elif brought.notes:
            self._desk.tell(SlipWords(title="Opened", body=" ".join(brought.notes)))
        later, self._later = self._later, ()
        if later:
            self.add_grids(later)

    def _taken(self, path: Path) -> OpenProperty | None:
        """Return a property file opened, to look at only where another window has it."""
        try:
            return OpenProperty.opened(path)
        except PropertyFileError as error:
            if not property_file.is_held(path):
                self._desk.tell_error(error)
                return None
        return OpenProperty.opened(path, is_only_looking=True)

    def _close_open(self) -> bool:
        """Close the property that is open; false if something could not be written."""
        one = self._desk.open
        if one is None or one.close():
            return True
        if one.unkept is not None:
            self._desk.tell_error(one.unkept[0])
        return False

    def _sorted(self, brought: Brought) -> None:
        """Take grids by kind; read them once both kinds are there."""
        self._end()
        self.elevation = brought.elevation or self.elevation
        self.cover = brought.cover or self.cover
        self.waiting_changed.emit()
        one = self._desk.open
        if self.elevation and self.cover and one is not None:
            place, elevation, cover = one.place, self.elevation, self.cover
            self._start(
                "Reading the grids",
                lambda progress: read(place, elevation, cover, progress),
                self._read,
            )
        elif brought.pictures:
            self.show_backdrop(brought.pictures[0])

    def _read(self, brought: Brought) -> None:
        """Put grids under the property."""
        self._end()
        self.elevation = self.cover = ()
        self.waiting_changed.emit()
        self._desk.do(edits.take_grids(*brought.grids))


def first_stop(one: OpenProperty) -> Stop:
    """Return the step that a property is at when it is opened."""
    if one.grids is None:
        return Stop.GROUND
    return Stop.SPOTS if one.findings is not None else Stop.MARKS
