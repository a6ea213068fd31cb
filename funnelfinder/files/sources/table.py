"""The table of sources: the shipped one, and rows that a person adds.

Every address of a public source lives in ``funnelfinder/data/sources.csv`` and nowhere else, so a
changed one is mended in one line, there or in a table of the person's own.
"""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import dataclass, fields, replace
from enum import Enum
from importlib.resources import files
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

import platformdirs
from pyproj import CRS
from pyproj.exceptions import CRSError

from funnelfinder.errors import SettingError


class Bring(Enum):
    """What a source gives."""

    ELEVATION = "elevation"
    COVER = "cover"
    CROPS = "crops"
    PICTURE = "picture"

    @property
    def words(self) -> str:
        """What people call it."""
        named = {"cover": "land cover", "crops": "crop cover", "picture": "aerial picture"}
        return named.get(self.value, self.value)


class Reader(Enum):
    """How a source is read.

    ``GRID`` is files read by window, ``INDEX`` a virtual raster that names such files, ``ANSWER``
    a service that cuts the window itself, ``TILES`` square pictures by zoom, column and row,
    ``FOLDER`` all grids of a folder.
    """

    GRID = "grid"
    INDEX = "index"
    ANSWER = "answer"
    TILES = "tiles"
    FOLDER = "folder"


class Answer(Enum):
    """What the question before the reading is answered with."""

    NONE = ""
    LISTING = "listing"
    PRODUCTS = "products"
    LINK = "link"


TILE_RULES: Final = (
    "one file",
    "one box",
    "squares of 10 km",
    "degrees by north-west",
    "degrees by south-west",
    "three degrees by south-west",
)
_BOX: Final = re.compile(r"^box from (-?[\d.]+)$")
_ZOOM: Final = re.compile(r"^zoom (\d+)$")
_SHIPPED: Final = "sources.csv"
_WORLD: Final = (-180.0, -90.0, 180.0, 90.0)
_NEEDED: Final = ("name", "kind", "address")
_MOST_ZOOM: Final = 22


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One row of the table.

    Parameters
    ----------
    name : str
        What people call it; a row of the same name replaces an earlier one.
    kind : Bring
        What it gives.
    reader : Reader
        How it is read.
    address : str
        Template of the address or path.
    asks, answer : str, Answer
        Template of an address that names the files, and the form of what it answers.
    tiles : str
        Which files there are: one of `TILE_RULES`, ``box from`` an offset of the cells' edges, or
        ``zoom`` and the deepest level.
    crs, cell : str, float
        Map system, and cell size in its unit.
    unit, nodata : str, float or None
        Unit of heights and value of holes where the files do not say.
    legend : str
        Legend of class codes.
    covers_deg : (west, south, east, north)
        Where it is worth asking [deg].
    order : int
        Lower is tried first.
    bytes_per_cell, bytes_per_file : float
        For the guess of how much will come.
    credit, licence, caution : str
        What must or should be said.
    """

    name: str
    kind: Bring
    reader: Reader = Reader.GRID
    address: str
    asks: str = ""
    answer: Answer = Answer.NONE
    tiles: str = "one file"
    crs: str = "EPSG:4326"
    cell: float = 1.0
    unit: str = ""
    nodata: float | None = None
    legend: str = ""
    covers_deg: tuple[float, float, float, float] = _WORLD
    order: int = 0
    bytes_per_cell: float = 3.0
    bytes_per_file: float = 100_000.0
    credit: str = ""
    licence: str = ""
    caution: str = ""

    def __post_init__(self) -> None:
        where = f"source {self.name}"
        if not (self.tiles in TILE_RULES or _BOX.match(self.tiles) or _ZOOM.match(self.tiles)):
            rules = ", ".join((*TILE_RULES, "box from 0", "zoom 16"))
            raise SettingError(
                f"{self.tiles!r} is no rule for tiles.", where=where, remedy=f"Use one of: {rules}."
            )
        if self.zoom > _MOST_ZOOM:
            raise SettingError(f"Zoom {self.zoom} is deeper than {_MOST_ZOOM}.", where=where)
        if not (math.isfinite(self.cell) and self.cell > 0):
            raise SettingError("Its cell size is not above 0.", where=where)
        if self.crs != "utm":
            try:
                CRS.from_user_input(self.crs)
            except CRSError as error:
                raise SettingError(
                    f"{self.crs!r} is no map system.", where=where, remedy="Write EPSG:5070 or utm."
                ) from error

    @property
    def box_offset(self) -> float | None:
        """Where the edges of the cells of an answered box lie, None for another rule."""
        found = _BOX.match(self.tiles)
        return float(found[1]) if found else None

    @property
    def zoom(self) -> int:
        """The deepest level of picture tiles; 0 for another rule."""
        found = _ZOOM.match(self.tiles)
        return int(found[1]) if found else 0

    @property
    def is_remote(self) -> bool:
        """Whether a server must be asked."""
        return "://" in (self.asks or self.address)

    @property
    def host(self) -> str:
        """Whom to ask first; the folder or file where nobody needs to be asked."""
        return urlsplit(self.asks or self.address).hostname or self.address


def shipped_sources() -> tuple[Source, ...]:
    """Return the shipped sources, the best of each kind first."""
    text = files("funnelfinder.data").joinpath(_SHIPPED).read_text(encoding="utf-8")
    return sources_from_csv(text, where=_SHIPPED)


def with_own(path: Path, sources: tuple[Source, ...] | None = None) -> tuple[Source, ...]:
    """Return sources with those of a person's own table before them, or in their place by name.

    Parameters
    ----------
    path : Path
        A CSV file; only the columns name, kind and address are needed. Paths in it count from
        its folder.
    sources : tuple of Source, optional
        Those to add to; the shipped ones by default.

    Raises
    ------
    SettingError
        If the table cannot be read.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise SettingError(
            "The table of sources cannot be read.",
            where=str(path),
            remedy="Give a CSV file with the columns name, kind and address.",
        ) from error
    own = tuple(_located(one, path.parent) for one in sources_from_csv(text, where=path.name))
    names = {one.name for one in own}
    others = shipped_sources() if sources is None else sources
    return (*own, *(one for one in others if one.name not in names))


def own_table() -> Path:
    """Return where this user's own table of sources is looked for; it need not be there."""
    return Path(platformdirs.user_config_dir("funnelfinder", appauthor=False)) / _SHIPPED


def usual_sources() -> tuple[Source, ...]:
    """Return the shipped sources, after those of this user's own table where there is one.

    Raises
    ------
    SettingError
        If the user's own table cannot be read.
    """
    path = own_table()
    return with_own(path) if path.exists() else shipped_sources()


def _located(source: Source, folder: Path) -> Source:
    """Return a source whose path counts from a folder."""
    if "://" in source.address or source.address.startswith("{"):
        return source
    return replace(source, address=str(folder / source.address))


def sources_from_csv(text: str, *, where: str) -> tuple[Source, ...]:
    """Return the sources that a CSV text holds, in their order of preference.

    Raises
    ------
    SettingError
        If a column is missing or unknown, or a row holds what does not belong there.
    """
    reader = csv.DictReader(io.StringIO(text))
    missing = [name for name in _NEEDED if name not in (reader.fieldnames or ())]
    if missing:
        raise SettingError(
            f"The table of sources lacks the column {missing[0]!r}.",
            where=where,
            remedy=f"Its columns are: {', '.join(_columns())}.",
        )
    rows = [_source(row, f"{where} line {reader.line_num}") for row in reader]
    return tuple(sorted(rows, key=lambda one: one.order))


def _columns() -> list[str]:
    """Return the names of the columns."""
    return [one.name.removesuffix("_deg") for one in fields(Source)]


def _source(row: dict[str, str], where: str) -> Source:
    """Return one row; cells that are empty take the usual value."""
    cells = {name: (row.get(name) or "").strip() for name in _columns()}
    try:
        values = {_field(name): _value(name, cell) for name, cell in cells.items() if cell}
        return Source(**values)  # type: ignore[arg-type]
    except (ValueError, TypeError) as error:
        if isinstance(error, SettingError):
            raise
        raise SettingError(
            f"A row of the table of sources cannot be used: {error}.",
            where=where,
            remedy="Compare it with the shipped table.",
        ) from error


def _field(name: str) -> str:
    """Return the field that a column fills."""
    return "covers_deg" if name == "covers" else name


def _value(name: str, cell: str) -> object:
    """Return the value of a cell."""
    enums: dict[str, type[Enum]] = {"kind": Bring, "reader": Reader, "answer": Answer}
    if name in enums:
        return enums[name](cell)
    if name == "covers":
        west, south, east, north = (float(word) for word in cell.split())
        return west, south, east, north
    if name == "order":
        return int(cell)
    if name in ("cell", "nodata", "bytes_per_cell", "bytes_per_file"):
        return float(cell)
    return cell
