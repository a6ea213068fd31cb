"""One reader for each kind of source; all give windows cut out and checked."""

from __future__ import annotations

import hashlib
import warnings
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import count
from pathlib import Path
from typing import Any, Final
from urllib.parse import urljoin
from xml.etree.ElementTree import Element, ParseError

import numpy as np
import rasterio
from affine import Affine
from defusedxml import DefusedXmlException
from defusedxml.ElementTree import fromstring
from pyproj import CRS
from pyproj.exceptions import CRSError
from rasterio.errors import NotGeoreferencedWarning

from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.cut import Cut, cut_out, fingerprint_of, known_on, nothing
from funnelfinder.files.sources.faults import Fault, WireError, said_text
from funnelfinder.files.sources.kept_bytes import KeptBytes, whole
from funnelfinder.files.sources.kept_windows import keep_window, kept_windows
from funnelfinder.files.sources.remote_file import RemoteFile
from funnelfinder.files.sources.table import Reader, Source
from funnelfinder.files.sources.tiles import Tile, tiles_of
from funnelfinder.files.sources.wire import Wire, said_where

#: A file that changes while it is read is begun anew so often.
_MOST_CHANGES: Final = 2
_MOST_INDEX_BYTES: Final = 20_000_000
_GRID_ENDINGS: Final = (".tif", ".tiff", ".vrt", ".img")
#: First bytes of TIFF and BigTIFF, in both byte orders (TIFF 6.0, section 2; BigTIFF design).
_TIFF: Final = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")


@dataclass(frozen=True, kw_only=True)
class Bench:
    """What all readers work with.

    ``area`` is all that is wanted, ``wanted_cell_m`` how fine [m], ``folder`` for windows that are
    thrown away afterwards, ``kept`` the folder of bytes that stay.
    """

    wire: Wire
    area: Area
    wanted_cell_m: float
    folder: Path
    kept: Path
    numbers: Iterator[int] = field(default_factory=count)

    def next_path(self, name: str) -> Path:
        """Return the path of the next window, called as the file that it is cut from."""
        folder = self.folder / str(next(self.numbers))
        folder.mkdir()
        plain = "".join(letter if letter.isalnum() or letter in " ._-" else "-" for letter in name)
        return folder / (plain if plain.lower().endswith(".tif") else f"{plain}.tif")


@dataclass(frozen=True, kw_only=True)
class Taken:
    """What one source gave: windows, and what went wrong with files of it."""

    cuts: tuple[Cut, ...]
    errors: tuple[WireError, ...]

    @property
    def half_by(self) -> WireError | None:
        """What kept the source from giving more, though another time it may; None if nothing."""
        if not self.cuts:
            return None
        return next((one for one in self.errors if one.is_passing or one.is_offline), None)


def take(source: Source, bench: Bench, part: Area, *, is_offline: bool = False) -> Taken:
    """Return what a source has over a part of the area.

    What was cut out before is taken first; where it covers the part nobody is asked. A file that
    cannot be had does not end the others; without a network what was cut out before is all.

    Raises
    ------
    Stopped
        If a person stopped the work.
    """
    kept = kept_cuts(source, bench)
    if kept and _covers(kept, bench.area, part):
        return Taken(cuts=kept, errors=())
    if is_offline and source.is_remote:
        return Taken(cuts=kept, errors=())
    try:
        cuts, errors = _asked(source, bench, part)
    except WireError as error:
        return Taken(cuts=kept, errors=(error,))
    for cut in cuts:
        if source.is_remote:
            keep_window(bench.kept, cut)
    return Taken(cuts=(*cuts, *kept), errors=errors)


def kept_cuts(source: Source, bench: Bench) -> tuple[Cut, ...]:
    """Return the windows of a source that were cut out before; none of what lies here anyway."""
    if not source.is_remote:
        return ()
    found = kept_windows(bench.kept, source, bench.area, bench.wanted_cell_m, bench.next_path)
    return tuple(found)


def _covers(cuts: tuple[Cut, ...], area: Area, part: Area) -> bool:
    """Return whether windows have values for all cells of a part of an area."""
    known = np.logical_or.reduce([cut.is_known for cut in cuts])
    row = round((area.grid.north_m - part.grid.north_m) / area.grid.cell_m)
    col = round((part.grid.west_m - area.grid.west_m) / area.grid.cell_m)
    return bool(known[row : row + part.grid.n_rows, col : col + part.grid.n_cols].all())


def _asked(
    source: Source, bench: Bench, part: Area
) -> tuple[tuple[Cut, ...], tuple[WireError, ...]]:
    """Return windows of a source's files and what went wrong; without a network all ends."""
    cuts: list[Cut] = []
    errors: list[WireError] = []
    try:
        tiles = _tiles(source, bench, part)
    except WireError as error:
        _raise_offline(error)
        return (), (error,)
    for tile in tiles:
        if cuts and _covers(tuple(cuts), bench.area, part):
            break
        try:
            cut = _cut(source, tile, bench, part)
        except WireError as error:
            _raise_offline(error)
            errors.append(error)
        else:
            cuts += [cut] if cut is not None else []
    return tuple(cuts), tuple(errors)


def _raise_offline(error: WireError) -> None:
    """Raise an error that every other request would meet too."""
    if error.is_offline:
        raise error


def _tiles(source: Source, bench: Bench, part: Area) -> list[Tile]:
    """Return the files of a source over a part."""
    if source.reader is Reader.FOLDER:
        return _folder_tiles(Path(source.address))
    found = tiles_of(source, part, bench.wire, bench.kept)
    if source.reader is Reader.INDEX and source.is_remote:
        return [one for tile in found for one in _index_tiles(tile, bench, part)]
    return found


def _folder_tiles(folder: Path) -> list[Tile]:
    """Return the grids of a folder."""
    if not folder.is_dir():
        raise WireError(Fault.NOT_THERE, where=str(folder))
    paths = sorted(path for path in folder.iterdir() if path.suffix.lower() in _GRID_ENDINGS)
    return [Tile(name=path.name, address=str(path)) for path in paths]


def _index_tiles(tile: Tile, bench: Bench, part: Area) -> list[Tile]:
    """Return the files that a virtual raster puts over a part."""
    reply = whole(bench.wire, bench.kept, tile.address, most_bytes=_MOST_INDEX_BYTES)
    try:
        root = fromstring(reply)
        transform = Affine.from_gdal(*map(float, (root.findtext("GeoTransform") or "").split(",")))
        crs = CRS.from_user_input(root.findtext("SRS") or "")
        bounds = part.bounds_in(crs)
        named = [_named(one) for one in root.iterfind(".//VRTRasterBand[@band='1']/*")]
    except (ParseError, DefusedXmlException, ValueError, TypeError, CRSError) as error:
        raise WireError(Fault.WRONG_TYPE, where=tile.name, more=said_text(reply)) from error
    found = []
    for name, box in filter(None, named):
        west, north = transform @ (box[0], box[1])
        east, south = transform @ (box[0] + box[2], box[1] + box[3])
        if west < bounds[2] and east > bounds[0] and south < bounds[3] and north > bounds[1]:
            address = urljoin(tile.address, name.removeprefix("/vsicurl/"))
            found.append(Tile(name=address.rpartition("/")[2], address=address))
    return found


def _named(element: Element) -> tuple[str, tuple[float, float, float, float]] | None:
    """Return the file of one piece of a virtual raster and where it goes [cells]."""
    name, box = element.findtext("SourceFilename"), element.find("DstRect")
    if name is None or box is None:
        return None
    x, y, width, height = (float(box.get(key, "")) for key in ("xOff", "yOff", "xSize", "ySize"))
    return name, (x, y, width, height)


def _cut(source: Source, tile: Tile, bench: Bench, part: Area) -> Cut | None:
    """Return the window of one file."""
    if "://" not in tile.address:
        return _made(source, tile, bench, part, opened=_local(Path(tile.address)), check=nothing)
    if source.reader is Reader.ANSWER:
        path = bench.next_path(tile.name)
        path.write_bytes(_grid_answer(tile, bench))
        return _made(source, tile, bench, part, opened=_local(path), check=nothing)
    for attempt in range(_MOST_CHANGES + 1):
        try:
            return _remote_cut(source, tile, bench, part)
        except WireError as error:
            if error.fault is Fault.DAMAGED:
                KeptBytes(bench.kept, tile.address).drop()
            if error.fault is not Fault.CHANGED or attempt == _MOST_CHANGES:
                raise
    raise WireError(Fault.CHANGED, where=tile.name)


def _remote_cut(source: Source, tile: Tile, bench: Bench, part: Area) -> Cut | None:
    """Return the window of a file on a server, read by ranges."""
    file = RemoteFile(bench.wire, KeptBytes(bench.kept, tile.address), tile.address)
    if file.read(4) not in _TIFF:
        file.check()
        raise WireError(Fault.WRONG_TYPE, where=said_where(tile.address))
    cut = _made(source, tile, bench, part, opened=_through(file), check=file.check)
    return None if cut is None else replace(cut, version=file.tag)


def _made(
    source: Source,
    tile: Tile,
    bench: Bench,
    part: Area,
    *,
    opened: Callable[[int], Any],
    check: Callable[[], None],
) -> Cut | None:
    """Return the window of an opened file as a file of its own; None where it has no values."""
    path = bench.next_path(tile.name)
    found = cut_out(
        opened,
        source=source,
        name=tile.name,
        area=part,
        wanted_cell_m=bench.wanted_cell_m,
        path=path,
        check=check,
    )
    if found is None:
        return None
    values, profile = found
    is_known = known_on(values, profile, bench.area)
    if not is_known.any():
        return None
    return Cut(
        source=source,
        name=tile.name,
        address=tile.address,
        path=path,
        is_known=is_known,
        cell_m=profile["cell_m"],
        fingerprint=fingerprint_of(values),
        is_full=profile["is_full"],
    )


def _local(path: Path) -> Callable[[int], Any]:
    """Return how a file of this computer is opened."""

    def opened(level: int) -> Any:
        return _opened(path, level)

    return opened


def _through(file: RemoteFile) -> Callable[[int], Any]:
    """Return how a file on a server is opened, its bytes passing through our own reading."""
    name = hashlib.sha256(f"{file.address} {id(file)}".encode()).hexdigest()[:24] + ".tif"

    def passed(path: str, mode: str = "rb") -> RemoteFile:
        if not path.endswith(name):
            raise FileNotFoundError(path)
        file.seek(0)
        return file

    def opened(level: int) -> Any:
        return _opened(name, level, opener=passed, driver="GTiff")

    return opened


def _opened(path: Path | str, level: int, **more: Any) -> Any:
    """Open a grid at an overview; that it does not say where it lies is judged later."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        return rasterio.open(path, **more, **({} if level < 0 else {"overview_level": level}))


def _grid_answer(tile: Tile, bench: Bench) -> bytes:
    """Return the grid that a service cuts out."""
    data = whole(bench.wire, bench.kept, tile.address)
    if not data.startswith(_TIFF):
        KeptBytes(bench.kept, tile.address).drop()
        raise WireError(Fault.WRONG_TYPE, where=said_where(tile.address), more=said_text(data))
    return data
