"""Marks from any vector file: what each row is, what it says, and the shape it must have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import shapely
from pyproj import CRS
from shapely.geometry import GeometryCollection
from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import MarkError
from funnelfinder.files.map_systems import datum_note
from funnelfinder.files.outlines_in.kind_words import (
    is_boundary_word,
    kind_of_word,
    known_kinds,
    who_of_word,
)
from funnelfinder.files.outlines_in.layers import Layer, read_layers
from funnelfinder.files.outlines_in.mark_columns import columns_said
from funnelfinder.files.outlines_in.shapes import check_uncrossed, closed, parts_of
from funnelfinder.marks import GEOMETRIES, Mark, MarkKind

#: Easting of a zone's middle (DMA TM 8358.2); 1,000 km off it transverse Mercator stretches by
#: 1.2 %, and no property is that wide. The pole lies 10,000 km from the equator.
_ZONE_EAST_M: Final = 500_000.0
_FAR_M: Final = 1_000_000.0
_POLE_M: Final = 10_000_000.0
_MULTI: Final[dict[str, Any]] = {
    "Point": shapely.multipoints,
    "LineString": shapely.multilinestrings,
    "Polygon": shapely.multipolygons,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row of a layer: its shape [m], its columns, and what to call it."""

    shape: BaseGeometry
    said: dict[str, Any]
    layer: Layer
    file: str
    number: int

    @property
    def where(self) -> str:
        """File, layer and name or number of the row."""
        name = self.said.get("name")
        label = name if isinstance(name, str) and name.strip() else f"row {self.number}"
        return f"{self.file}, {self.layer.name}, {label}"


def read_marks(
    path: Path, *, epsg: int, kind: str | None = None
) -> tuple[tuple[Mark, ...], tuple[str, ...]]:
    """Return the marks that a vector file holds, with notes.

    All layers are read, GPS waypoints, tracks and routes included. What a row is says its column
    ``kind``, else ``kind`` as given, else the name of its layer or folder, else that of the file;
    for GPS files also the type of the waypoint or the first word of its name.

    Parameters
    ----------
    path : Path
        GeoPackage, GeoJSON, KML, KMZ, GPX or shapefile, zipped or bare; it is not changed.
    epsg : int
        Code of the property's UTM zone.
    kind : str or None
        Kind of every row that does not say its own.

    Returns
    -------
    marks : tuple of Mark
        In the order of the file.
    notes : tuple of str
        What was joined, turned or left out.

    Raises
    ------
    MarkError
        If the file cannot be read, a row does not say what it is, its shape does not fit its
        kind, or a column holds a wrong value.
    """
    told = None if kind is None else _told(kind)
    marks: list[Mark] = []
    notes: list[str] = []
    for row in _rows(path, epsg, notes):
        if _is_boundary(row):
            notes.append(f"{row.where}: it is the boundary, no mark, and was left out.")
        elif _is_far(row.shape):
            notes.append(f"{row.where}: it lies too far away and was left out.")
        else:
            mark, own_notes = _mark(row, told, path, epsg)
            marks.append(mark)
            notes += own_notes
    if not marks:
        raise MarkError("It holds no marks.", where=path.name, remedy=_kinds_remedy())
    return tuple(marks), tuple(dict.fromkeys(notes))


def _told(word: str) -> MarkKind:
    """Return the kind that a person gave for the whole file."""
    found = kind_of_word(word)
    if found is None:
        raise MarkError(f"{word!r} is no kind of mark.", remedy=_kinds_remedy())
    return found


def _kinds_remedy() -> str:
    """Return how to say what a mark is."""
    return (
        "Say it in a column kind, with the kind option, or by the name of the layer or folder."
        f" The kinds are: {known_kinds()}."
    )


def _rows(path: Path, epsg: int, notes: list[str]) -> Iterator[_Row]:
    """Yield the rows of all layers, moved to the UTM zone; add notes on what is missing."""
    for layer in read_layers(path):
        if layer.n_broken:
            notes.append(f"{path.name}, {layer.name}: {layer.n_broken} shapes without points.")
        notes += datum_note(layer.crs, epsg, path.name)
        frame = layer.frame.to_crs(CRS.from_epsg(epsg))
        columns = frame.drop(columns=frame.geometry.name).to_dict("records")
        for number, (shape, said) in enumerate(zip(frame.geometry, columns, strict=True), 1):
            yield _Row(
                shape=shape,
                said={str(name): value for name, value in said.items()},
                layer=layer,
                file=path.name,
                number=number,
            )


def _is_boundary(row: _Row) -> bool:
    """Return whether a row is the boundary that lies in the same file."""
    word = _word(row, "kind")
    return is_boundary_word(word or ("" if row.layer.is_gps else row.layer.name))


def _word(row: _Row, column: str) -> str:
    """Return a word that a column of a row holds, or none."""
    value = row.said.get(column)
    return value.strip() if isinstance(value, str) else ""


def _is_far(shape: BaseGeometry) -> bool:
    """Return whether a shape lies so far off the zone that its coordinates mean nothing."""
    east, north = shapely.get_coordinates(shape).T
    return not bool(
        (np.abs(east - _ZONE_EAST_M) < _FAR_M).all() and (np.abs(north) < _POLE_M).all()
    )


def _kind_words(row: _Row, told: MarkKind | None, path: Path) -> Iterator[str]:
    """Yield the words that may say what a row is, the surest first; blanks are skipped."""
    if told is not None:
        yield told.value
    if row.layer.is_gps:
        yield _word(row, "type")
        yield path.stem
        yield from _word(row, "name").split()[:1]
    else:
        yield row.layer.name
        yield path.stem


def _kind(row: _Row, told: MarkKind | None, path: Path) -> tuple[MarkKind, str]:
    """Return what a row is and the word that says so."""
    word = _word(row, "kind")
    words = [word] if word else list(_kind_words(row, told, path))
    for one in words:
        kind = kind_of_word(one)
        if kind is not None:
            return kind, one
    what = f"{word!r} is no kind of mark." if word else "It does not say what it is."
    raise MarkError(what, where=row.where, remedy=_kinds_remedy())


def _mark(row: _Row, told: MarkKind | None, path: Path, epsg: int) -> tuple[Mark, tuple[str, ...]]:
    """Return the mark that a row means, with notes."""
    kind, word = _kind(row, told, path)
    said = columns_said(row.said, row.where)
    if kind is MarkKind.BED and "who" not in said:
        said["who"] = who_of_word(word)
    shape, notes = _fitted(row.shape, kind, epsg, row.where)
    try:
        return Mark(kind=kind, geometry=shape, **said), notes
    except MarkError as error:
        raise MarkError(error.what, where=row.where, remedy=error.remedy) from error


def _fitted(
    shape: BaseGeometry, kind: MarkKind, epsg: int, where: str
) -> tuple[BaseGeometry, tuple[str, ...]]:
    """Return a shape in the form that a kind has, with notes; it is never guessed from points."""
    parts = parts_of(shape)
    types = {part.geom_type for part in parts}
    if len(types) != 1:
        raise MarkError(
            "It mixes points, lines and areas.", where=where, remedy="Draw one mark for each."
        )
    notes: tuple[str, ...] = ()
    own = types.pop()
    if own == "LineString" and own not in GEOMETRIES[kind] and "Polygon" in GEOMETRIES[kind]:
        polygon, notes = closed(GeometryCollection(parts), epsg=epsg, where=where)
        parts, own = [polygon], "Polygon"
    elif own == "Polygon" and own not in GEOMETRIES[kind] and "LineString" in GEOMETRIES[kind]:
        parts = [ring for part in parts for ring in parts_of(part.boundary)]
        own, notes = "LineString", (f"{where}: the edge of the area was taken as a line.",)
    if own == "Polygon":
        for part in parts:
            check_uncrossed(part, epsg=epsg, where=where)
    return _joined(parts, own), notes


def _joined(parts: list[BaseGeometry], own: str) -> BaseGeometry:
    """Return parts of one type as one shape; areas that overlap become one."""
    if len(parts) == 1:
        return parts[0]
    return shapely.union_all(parts) if own == "Polygon" else _MULTI[own](parts)
