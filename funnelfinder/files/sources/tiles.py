"""Which files of a source lie over an area, by the naming rules of those who publish them."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote, urljoin, urlsplit
from xml.etree.ElementTree import Element, ParseError

import mercantile
from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring
from pyproj import CRS

from funnelfinder.errors import SettingError
from funnelfinder.files.sources.area import Area, Bounds
from funnelfinder.files.sources.faults import Fault, WireError, said_text
from funnelfinder.files.sources.kept_bytes import KeptBytes, whole
from funnelfinder.files.sources.table import Answer, Source
from funnelfinder.files.sources.wire import Wire, said_where
from funnelfinder.tile_names import (
    albers_squares,
    arc_third_names,
    surface_names,
    world_cover_names,
)

#: Most files of one source that one property takes.
_MOST_FILES: Final = 64
_MOST_ANSWER_BYTES: Final = 20_000_000
#: Most picture tiles of one property; the zoom is chosen so that they suffice.
MOST_PICTURES: Final = 400
_ALBERS: Final = 6350


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One file of a source: what it is called and where it is."""

    name: str
    address: str


def _by_name(names: Callable[[Bounds], tuple[str, ...]]) -> Callable[[Area], list[dict[str, str]]]:
    """Return the fields of files that are named by degrees."""

    def found(area: Area) -> list[dict[str, str]]:
        return [
            {"name": name, "stem": name.rpartition(".")[0], "corner": name[8:15]}
            for name in names(area.degrees)
        ]

    return found


def _squares(area: Area) -> list[dict[str, str]]:
    """Return the fields of squares of 10 km."""
    bounds = area.bounds_in(CRS.from_epsg(_ALBERS))
    return [{"square": one, "hundreds": _hundreds(one)} for one in albers_squares(bounds)]


def _hundreds(square: str) -> str:
    """Return the folder of a square: its corner in hundreds of km.

    Examples
    --------
    >>> _hundreds("n1980e1070")
    'n19e10'
    """
    side = "e" if "e" in square else "w"
    north, _, east = square[1:].partition(side)
    return f"n{int(north) // 100}{side}{int(east) // 100}"


def _one_file(area: Area) -> list[dict[str, str]]:
    """Return the fields of a single file: none."""
    return [{}]


def _one_box(area: Area) -> list[dict[str, str]]:
    """Return the box in degrees."""
    west, south, east, north = (f"{value:.6f}" for value in area.degrees)
    return [{"west": west, "south": south, "east": east, "north": north}]


_RULES: Final[dict[str, Callable[[Area], list[dict[str, str]]]]] = {
    "one file": _one_file,
    "one box": _one_box,
    "squares of 10 km": _squares,
    "degrees by north-west": _by_name(arc_third_names),
    "degrees by south-west": _by_name(surface_names),
    "three degrees by south-west": _by_name(world_cover_names),
}


def tile_fields(source: Source, area: Area) -> list[dict[str, str]]:
    """Return the fields that fill a source's templates, one set for each file over an area."""
    if source.box_offset is not None:
        return [_box(source, area)]
    if source.zoom:
        west, south, east, north = area.degrees
        zoom = fitting_zoom(source, area)
        return [
            {"z": str(one.z), "x": str(one.x), "y": str(one.y)}
            for one in mercantile.tiles(west, south, east, north, zooms=zoom)
        ]
    return _RULES[source.tiles](area)


def fitting_zoom(source: Source, area: Area) -> int:
    """Return the deepest zoom that needs no more than `MOST_PICTURES` tiles."""
    west, south, east, north = area.degrees
    for zoom in range(source.zoom, 0, -1):
        first = mercantile.tile(west, north, zoom)
        last = mercantile.tile(east, south, zoom)
        if (last.x - first.x + 1) * (last.y - first.y + 1) <= MOST_PICTURES:
            return zoom
    return 0


def _box(source: Source, area: Area) -> dict[str, str]:
    """Return an area as a box whose sides lie on the edges of the source's cells."""
    is_utm = source.crs == "utm"
    crs = CRS.from_epsg(area.grid.epsg) if is_utm else CRS.from_user_input(source.crs)
    bounds = area.bounds_in(crs)
    cell, offset = source.cell, source.box_offset or 0.0
    low = [math.floor((value - offset) / cell) * cell + offset - cell for value in bounds[:2]]
    high = [math.ceil((value - offset) / cell) * cell + offset + cell for value in bounds[2:]]
    return {
        "west": f"{low[0]:.10g}",
        "south": f"{low[1]:.10g}",
        "east": f"{high[0]:.10g}",
        "north": f"{high[1]:.10g}",
        "width": str(round((high[0] - low[0]) / cell)),
        "height": str(round((high[1] - low[1]) / cell)),
        "epsg": str(crs.to_epsg() or area.grid.epsg),
    }


def tiles_of(source: Source, area: Area, wire: Wire, kept: Path) -> list[Tile]:
    """Return the files of a source over an area; a server is asked where the names need it.

    Raises
    ------
    WireError
        If the server cannot be asked, or does not answer as it should.
    SettingError
        If a template uses a field that its rule does not have.
    """
    found: list[Tile] = []
    for known in tile_fields(source, area):
        if source.answer is Answer.NONE:
            links = [known]
        else:
            asked = _filled(source.asks, known, source)
            links = [{**known, "link": link} for link in _links(source, asked, wire, kept)]
        for one in links:
            address = _filled(source.address, one, source)
            found.append(Tile(name=_name(source, one, address), address=address))
    if len(found) > _MOST_FILES and not source.zoom:
        raise WireError(Fault.TOO_LARGE, where=source.name, more=f"{len(found)} files")
    return found


def _filled(template: str, known: dict[str, str], source: Source) -> str:
    """Return a template with its fields filled."""
    try:
        return template.format(**known)
    except (KeyError, IndexError, ValueError) as error:
        raise SettingError(
            f"The template {template!r} does not fit the rule {source.tiles!r}.",
            where=f"source {source.name}",
            remedy=f"Its fields are: {', '.join(known) or 'none'}.",
        ) from error


def _name(source: Source, known: dict[str, str], address: str) -> str:
    """Return what a file is called."""
    if "{x}" in source.address:
        return f"{known['z']}/{known['y']}/{known['x']}"
    if source.box_offset is not None:
        return source.name
    return urlsplit(address).path.rpartition("/")[2] or source.name


def _links(source: Source, address: str, wire: Wire, kept: Path) -> list[str]:
    """Return the files that a server names; an answer that is none is not kept."""
    data = whole(wire, kept, address, most_bytes=_MOST_ANSWER_BYTES)
    try:
        return _answered(source, address, data)
    except WireError:
        KeptBytes(kept, address).drop()
        raise


def _answered(source: Source, address: str, data: bytes) -> list[str]:
    """Return the files that an answer names."""
    where = said_where(address)
    try:
        if source.answer is Answer.PRODUCTS:
            return list(_product_links(json.loads(data), where))
        root = fromstring(data)
    except (ValueError, ParseError, DefusedXmlException) as error:
        raise WireError(Fault.WRONG_TYPE, where=where, more=said_text(data)) from error
    if source.answer is Answer.LISTING:
        return _listed_keys(root)
    return [_returned_link(root, address, where, data)]


def _listed_keys(root: Element) -> list[str]:
    """Return the newest grid of a bucket's listing; names end in their date."""
    keys = [one.text or "" for one in root.iter() if _plain(one) == "Key"]
    newest = max((key for key in keys if key.lower().endswith(".tif")), default=None)
    return [] if newest is None else [quote(newest)]


def _returned_link(root: Element, address: str, where: str, data: bytes) -> str:
    """Return the one link of an answer."""
    for one in root.iter():
        if _plain(one) == "returnURL" and one.text:
            return _safe_link(one.text.strip(), address, where)
    raise WireError(Fault.WRONG_TYPE, where=where, more=said_text(data))


def _plain(element: Element) -> str:
    """Return the name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def _product_links(answer: Any, where: str) -> Iterator[str]:
    """Yield the grids of a product list, newest first; an empty one that is not sure is a fault."""
    if not isinstance(answer, dict) or not isinstance(answer.get("items"), list):
        raise WireError(Fault.WRONG_TYPE, where=where)
    items = [one for one in answer["items"] if isinstance(one, dict)]
    if not items and str(answer.get("total", "")) != "0":
        raise WireError(Fault.BUSY, where=where, more="an empty list")
    for one in sorted(items, key=lambda one: str(one.get("publicationDate", "")), reverse=True):
        link = str(one.get("downloadURL") or "")
        if link.lower().endswith(".tif"):
            yield _safe_link(link, where, where)


def _safe_link(link: str, address: str, where: str) -> str:
    """Return a link that leads to a server, nowhere else."""
    whole = urljoin(address, link)
    if urlsplit(whole).scheme not in ("http", "https"):
        raise WireError(Fault.WRONG_TYPE, where=where, more="a link that leads nowhere")
    return whole
