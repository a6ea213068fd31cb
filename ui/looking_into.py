"""What files hold that a person brings; runs in threads, knows nothing of the window."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from funnelfinder.errors import FunnelFinderError, GridError, PropertyFileError
from funnelfinder.files import property_file
from funnelfinder.marks import Mark, Property
from funnelfinder.progress import Progress

from .kinds import KINDS
from .look.said import said_count
from .paths import folder_for, unused_path


@dataclass(frozen=True, kw_only=True)
class Brought:
    """What was found in files: a property to open, marks, or grids by kind.

    ``said`` is how many of the file's shapes say what they are where only some do.
    """

    path: Path | None = None
    notes: tuple[str, ...] = ()
    elevation: tuple[Path, ...] = ()
    cover: tuple[Path, ...] = ()
    pictures: tuple[Path, ...] = ()
    grids: Any = None
    marks: tuple[Mark, ...] = ()
    said: str = ""


def opened_outline(path: Path) -> Brought:
    """Return the property file at a path, made from its boundary where it is none."""
    from funnelfinder.files.outlines_in import read_boundary

    if path.suffix.lower() == ".gpkg":
        try:
            property_file.load_place(path)
        except PropertyFileError as error:
            if not path.exists() or property_file.says_property(path):
                # A damaged or newer property must not be taken for a mere boundary.
                raise
            return _from_boundary(path, error)
        return Brought(path=path)
    boundary = read_boundary(path)
    place = Property(name=boundary.name, epsg=boundary.epsg, boundary=boundary.outline)
    return replace(
        created(unused_path(folder_for(path), boundary.name), place), notes=boundary.notes
    )


def _from_boundary(path: Path, error: PropertyFileError) -> Brought:
    """Return the property made from a GeoPackage that is no property but may hold a boundary."""
    from funnelfinder.files.outlines_in import read_boundary

    try:
        boundary = read_boundary(path)
    except FunnelFinderError as no_boundary:
        if is_picture(path):
            return Brought(pictures=(path,))
        raise (no_boundary if _is_package(path) else error) from None
    place = Property(name=boundary.name, epsg=boundary.epsg, boundary=boundary.outline)
    made = unused_path(folder_for(path), boundary.name)
    return replace(created(made, place), notes=boundary.notes)


def created(path: Path, place: Property) -> Brought:
    """Make the file of a new property."""
    property_file.create(path, place)
    return Brought(path=path)


def by_kind(paths: Sequence[Path]) -> Brought:
    """Return grid files sorted by what they hold."""
    from funnelfinder.files.grids_in.grid_kind import GridKind, kind_of_grid

    kinds = {path: kind_of_grid(path) for path in paths}
    return Brought(
        elevation=tuple(path for path in paths if kinds[path] is GridKind.ELEVATION),
        cover=tuple(path for path in paths if kinds[path] is GridKind.COVER),
        pictures=tuple(path for path in paths if kinds[path] is GridKind.PICTURE),
    )


def read(
    place: Property, elevation: tuple[Path, ...], cover: tuple[Path, ...], progress: Progress
) -> Brought:
    """Return the grids of a property from files."""
    from funnelfinder.files.grids_in import read_grids

    return Brought(grids=read_grids(place, elevation=elevation, cover=cover, progress=progress))


def seen(path: Path, epsg: int | None) -> Brought:
    """Return a backdrop from a file."""
    from funnelfinder.files.backdrop_in import read_backdrop
    from funnelfinder.files.grids_in.grid_kind import GridKind, kind_of_grid

    is_picture = kind_of_grid(path) is GridKind.PICTURE
    return Brought(grids=read_backdrop(path, epsg=epsg), pictures=(path,) if is_picture else ())


def is_picture(path: Path) -> bool:
    """Return whether a file is a picture that says where it lies."""
    from funnelfinder.files.grids_in.grid_kind import GridKind, kind_of_grid

    try:
        return kind_of_grid(path) is GridKind.PICTURE
    except GridError:
        return False


def looked_into(path: Path, epsg: int) -> Brought:
    """Return what a vector file holds for somebody who has a property of a zone open.

    A file whose shapes all say what kind of mark they are holds marks; one where only some do may
    be either; one where none does is a property or a boundary, or, where it can be neither, marks
    by the names of its layers.
    """
    if path.suffix.lower() == ".gpkg" and property_file.says_property(path):
        return opened_outline(path)
    n_said, n_all = _count_said(path)
    if n_said and n_said == n_all:
        return read_marks_of(path, epsg)
    if n_said:
        return Brought(path=path, said=f"{n_said} of its {said_count(n_all, 'shape')}")
    try:
        return opened_outline(path)
    except FunnelFinderError as error:
        try:
            return read_marks_of(path, epsg)
        except FunnelFinderError:
            raise error from None


def read_marks_of(path: Path, epsg: int) -> Brought:
    """Return the marks of a file."""
    from funnelfinder.files.outlines_in import read_marks

    marks, notes = read_marks(path, epsg=epsg)
    return Brought(path=path, marks=marks, notes=notes)


def said_marks(marks: Sequence[Mark]) -> str:
    """Return how many marks of each kind there are.

    Examples
    --------
    >>> import shapely
    >>> from funnelfinder.marks import MarkKind
    >>> said_marks([Mark(kind=MarkKind.BED, geometry=shapely.box(0, 0, 1, 1))])
    '1 mark: bed 1'
    """
    counts = Counter(mark.kind for mark in marks)
    kinds = ", ".join(f"{KINDS[kind].word.lower()} {n}" for kind, n in counts.items())
    return f"{said_count(len(marks), 'mark')}: {kinds}"


def _is_package(path: Path) -> bool:
    """Return whether a file is at least a database, as every GeoPackage is."""
    with path.open("rb") as file:
        return file.read(15) == b"SQLite format 3"


def _count_said(path: Path) -> tuple[int, int]:
    """Return how many shapes of a file say what kind of mark they are, and how many there are.

    The boundary does not count; a file that cannot be read has none.
    """
    from funnelfinder.files.outlines_in.kind_words import is_boundary_word, kind_of_word
    from funnelfinder.files.outlines_in.layers import read_layers

    try:
        layers = read_layers(path)
    except FunnelFinderError:
        # Opening it says what is wrong.
        return 0, 0
    words: list[str] = []
    for layer in layers:
        column = layer.frame.get("kind")
        found = [""] * len(layer.frame) if column is None else column.tolist()
        words += [one if isinstance(one, str) else "" for one in found]
    others = [word for word in words if not is_boundary_word(word)]
    return sum(kind_of_word(word) is not None for word in others), len(others)
