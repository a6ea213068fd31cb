"""The boundary of a property from any vector file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import shapely
from shapely.geometry import LineString, MultiLineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.errors import MarkError
from funnelfinder.files.map_systems import (
    WGS84,
    datum_note,
    in_degrees,
    is_within_utm,
    moved,
    true_area_m2,
    utm_epsg,
    way,
)
from funnelfinder.files.outlines_in.kind_words import is_boundary_word, kind_of_word
from funnelfinder.files.outlines_in.layers import Layer, read_layers
from funnelfinder.files.outlines_in.shapes import check_uncrossed, closed, parts_of
from funnelfinder.units import ACRE_M2, said_area

#: A boundary below this gets a note (judgement: less than one deer's bedding area).
SMALL_M2: Final = 1.0 * ACRE_M2


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary:
    """What a person has permission to hunt.

    Parameters
    ----------
    outline : MultiPolygon
        The outline [m, UTM zone of its centroid].
    epsg : int
        Code of that zone (EPSG 326xx north, 327xx south).
    name : str
        What the file calls it, or the file's own name.
    notes : tuple of str
        Facts short of failure.
    """

    outline: MultiPolygon
    epsg: int
    name: str
    notes: tuple[str, ...]


def read_boundary(path: Path) -> Boundary:
    """Return the boundary that a vector file holds.

    GeoPackage, GeoJSON, KML, KMZ, GPX (a track or route that was walked round the ground) and
    shapefiles, zipped or bare, are read. Several polygons make one boundary of several parts.

    Parameters
    ----------
    path : Path
        The file; it is not changed.

    Raises
    ------
    MarkError
        If the file cannot be read, does not say where on earth it lies, holds no area, an open
        line, an outline that crosses itself, or several layers that could be meant.
    """
    layers = _chosen(read_layers(path), path.name)
    shapes: list[BaseGeometry] = []
    notes: list[str] = []
    for layer in layers:
        if layer.n_broken:
            notes.append(f"{path.name}: {layer.n_broken} shapes without points were left out.")
        degrees = layer.frame.to_crs(WGS84).geometry
        shapes += [part for shape in degrees for part in _own_parts(shape)]
    polygons = [shape for shape in shapes if isinstance(shape, Polygon)]
    if not polygons:
        polygons, line_notes = _walked(shapes, path.name)
        notes += line_notes
    for polygon in polygons:
        check_uncrossed(polygon, epsg=WGS84, where=path.name)
    outline, epsg = _in_utm(polygons, path.name)
    if len(polygons) > 1:
        notes.append(f"{path.name}: {len(polygons)} outlines were joined to one boundary.")
    area_m2 = true_area_m2(outline, epsg)
    if area_m2 < SMALL_M2:
        notes.append(f"{path.name}: the boundary holds only {said_area(area_m2)}.")
    for layer in layers:
        notes += datum_note(layer.crs, epsg, path.name)
    return Boundary(
        outline=outline, epsg=epsg, name=_name(layers, path), notes=tuple(dict.fromkeys(notes))
    )


def _own_parts(shape: BaseGeometry) -> Sequence[BaseGeometry]:
    """Return the polygons of a shape, or its lines, kept together as they were walked."""
    parts = parts_of(shape)
    polygons = [part for part in parts if isinstance(part, Polygon)]
    lines = [part for part in parts if isinstance(part, LineString)]
    return list(polygons) or ([MultiLineString(lines)] if lines else [])


def _chosen(layers: list[Layer], name: str) -> list[Layer]:
    """Return the layers that hold the boundary: the rows or the layer that say so, or the only."""
    said = [layer for layer in map(_boundary_rows, layers) if layer is not None]
    if said:
        return said
    layers = [layer for layer in layers if not _holds_marks(layer)]
    if not layers:
        raise MarkError(
            "It holds marks, no boundary.",
            where=name,
            remedy="Give the boundary here, and this file as marks.",
        )
    for dimension in (2, 1):
        fitting = [layer for layer in layers if dimension in _dimensions(layer)]
        # A GPS writes the route it was told beside the track that was walked.
        named = [layer for layer in fitting if layer.is_gps and layer.name == "tracks"]
        named = named or [layer for layer in fitting if is_boundary_word(layer.name)]
        if len(fitting) == 1 or named:
            return named or fitting
        if fitting:
            shown = ", ".join(sorted({layer.name for layer in fitting}))
            raise MarkError(
                f"Several layers could be the boundary ({shown}).",
                where=name,
                remedy="Call the right one boundary, or export it alone.",
            )
    raise MarkError(
        "It holds only points, no outline.",
        where=name,
        remedy="Give the outline of the ground as an area, or as a track walked round it.",
    )


def _dimensions(layer: Layer) -> set[int]:
    """Return the dimensions of the shapes in a layer: 0 points, 1 lines, 2 areas."""
    return set(shapely.get_dimensions(layer.frame.geometry.to_numpy()).tolist())


def _kinds(layer: Layer) -> list[str]:
    """Return what the column ``kind`` says of each row, empty without one."""
    if "kind" not in layer.frame:
        return []
    return [word if isinstance(word, str) else "" for word in layer.frame["kind"]]


def _boundary_rows(layer: Layer) -> Layer | None:
    """Return the rows whose column ``kind`` says boundary; None without such."""
    own = [is_boundary_word(word) for word in _kinds(layer)]
    return replace(layer, frame=layer.frame[own]) if any(own) else None


def _holds_marks(layer: Layer) -> bool:
    """Return whether every row says that it is a mark."""
    kinds = _kinds(layer)
    return bool(kinds) and all(kind_of_word(word) is not None for word in kinds)


def _walked(lines: Iterable[BaseGeometry], name: str) -> tuple[list[Polygon], list[str]]:
    """Return the outlines of walked lines, in degrees; open lines beside closed ones are noted."""
    polygons: list[Polygon] = []
    notes: list[str] = []
    errors: list[MarkError] = []
    for line in lines:
        centre = line.envelope.centroid
        epsg = utm_epsg(centre.x, centre.y)
        try:
            polygon, own_notes = closed(moved(line, way(WGS84, epsg)), epsg=epsg, where=name)
        except MarkError as error:
            errors.append(error)
            continue
        polygons.append(in_degrees(polygon, epsg))
        notes += own_notes
    if errors and not polygons:
        raise errors[0]
    return polygons, notes + [f"{name}: a line was left out. {error.what}" for error in errors]


def _in_utm(polygons: list[Polygon], name: str) -> tuple[MultiPolygon, int]:
    """Return polygons in degrees as one outline in the UTM zone of its centroid."""
    centre = shapely.union_all(polygons).centroid
    if centre.is_empty or not is_within_utm(centre.y):
        raise MarkError(
            "It encloses nothing, or lies beyond 84° north or 80° south.",
            where=name,
            remedy="Check its coordinate reference system.",
        )
    epsg = utm_epsg(centre.x, centre.y)
    there = way(WGS84, epsg)
    outline = shapely.union_all([moved(polygon, there) for polygon in polygons])
    return MultiPolygon([part for part in parts_of(outline) if isinstance(part, Polygon)]), epsg


def _name(layers: list[Layer], path: Path) -> str:
    """Return the one name that the rows carry, else the file's own."""
    names = {
        str(name).strip()
        for layer in layers
        if "name" in layer.frame
        for name in layer.frame["name"].dropna()
    } - {""}
    return names.pop() if len(names) == 1 else path.stem
