"""What will be asked of whom, and about how many bytes: told before anything is asked."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from pyproj import CRS

from funnelfinder.files.map_systems import way
from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.pictures import TILE_DOTS
from funnelfinder.files.sources.table import Answer, Bring, Reader, Source
from funnelfinder.files.sources.tiles import tile_fields
from funnelfinder.ground import fine_grid, travel_grid
from funnelfinder.marks import Property

#: Files of grids are read in squares of so many cells (what the public ones are cut into).
_BLOCK_CELLS: Final = 512
#: A list of files takes about so much [bytes].
_LIST_BYTES: Final = 20_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What one source would be asked.

    ``host`` is who is asked, or the folder where nobody is; ``n_files`` about how many files a
    part is read of, ``about_bytes`` about how much comes. ``is_fallback`` is asked only where
    those before leave gaps. ``names_others`` means that the host names the server of the files.
    """

    source: Source
    host: str
    n_files: int
    about_bytes: int
    is_remote: bool
    is_fallback: bool
    names_others: bool

    @property
    def words(self) -> str:
        """The request in one sentence."""
        what = f"{self.source.kind.words.capitalize()}: {self.source.name}"
        if not self.is_remote:
            return f"{what} from {self.host}, no network needed."
        files = f"{self.n_files} file{'' if self.n_files == 1 else 's'}"
        where = f"{self.host}, and the server it names" if self.names_others else self.host
        when = ", only where those before leave gaps" if self.is_fallback else ""
        return f"{what} from {where}, {files}, about {said_bytes(self.about_bytes)}{when}."


def said_bytes(n_bytes: float) -> str:
    """Return an amount of bytes as people read it.

    Examples
    --------
    >>> said_bytes(700), said_bytes(48_000), said_bytes(3_240_000)
    ('1 KB', '48 KB', '3.2 MB')
    """
    if n_bytes < 1e6:
        return f"{max(1, round(n_bytes / 1e3))} KB"
    return f"{n_bytes / 1e6:.1f} MB"


def area_of(place: Property) -> Area:
    """Return the area of a property: its travel grid."""
    return Area(grid=travel_grid(place))


def wanted_cell_m(place: Property, source: Source) -> float:
    """Return how fine the cells of a source are wanted [m]."""
    if source.kind is Bring.ELEVATION:
        return fine_grid(place, source_cell_m(source, area_of(place))).cell_m
    return travel_grid(place).cell_m


def source_cell_m(source: Source, area: Area) -> float:
    """Return the side of a source's cells near an area, as its row of the table says [m]."""
    crs = CRS.from_epsg(area.grid.epsg) if source.crs == "utm" else CRS.from_user_input(source.crs)
    west, south, east, north = area.bounds_in(crs)
    x, y = (west + east) / 2, (south + north) / 2
    cell = source.cell
    px, py = way(crs, area.grid.epsg).transform([x, x + cell, x], [y, y, y + cell])
    size = abs((px[1] - px[0]) * (py[2] - py[0]) - (px[2] - px[0]) * (py[1] - py[0]))
    return math.sqrt(size)


def planned(
    place: Property, sources: Sequence[Source], kinds: Sequence[Bring]
) -> tuple[Request, ...]:
    """Return what would be asked for a property, in the order of asking; nothing is asked yet.

    Parameters
    ----------
    place : Property
        Its boundary and surround.
    sources : sequence of Source
        In order of preference.
    kinds : sequence of Bring
        What is wanted.
    """
    area = area_of(place)
    requests: list[Request] = []
    for kind in kinds:
        fitting = [one for one in sources if one.kind is kind and area.is_within(one.covers_deg)]
        requests += [_request(one, area, place, is_fallback=n > 0) for n, one in enumerate(fitting)]
    return tuple(requests)


def _request(source: Source, area: Area, place: Property, *, is_fallback: bool) -> Request:
    """Return what one source would be asked."""
    n_files, n_bytes = _guess(source, area, place)
    return Request(
        source=source,
        host=source.host,
        n_files=n_files,
        about_bytes=round(n_bytes) if source.is_remote else 0,
        is_remote=source.is_remote,
        is_fallback=is_fallback,
        names_others=source.answer in (Answer.PRODUCTS, Answer.LINK),
    )


def _guess(source: Source, area: Area, place: Property) -> tuple[int, float]:
    """Return about how many files are read and how many bytes come."""
    n_files = len(tile_fields(source, area)) if source.reader is not Reader.FOLDER else 1
    if source.reader is Reader.TILES:
        each = source.bytes_per_file + source.bytes_per_cell * TILE_DOTS**2
        return n_files, n_files * each
    cell_m = source_cell_m(source, area) if source.answer is not Answer.PRODUCTS else 1.0
    factor = 1
    if source.reader is Reader.GRID:
        wanted = fine_grid(place, cell_m).cell_m
        wanted = wanted if source.kind is Bring.ELEVATION else area.grid.cell_m
        while cell_m * factor * 2 <= wanted:
            factor *= 2
    wide, high = (n * area.grid.cell_m / (cell_m * factor) for n in area.grid.shape)
    if source.reader is not Reader.ANSWER:
        wide, high = ((math.ceil(n / _BLOCK_CELLS) + 0.5) * _BLOCK_CELLS for n in (wide, high))
    asked = _LIST_BYTES if source.asks else 0.0
    return n_files, asked + n_files * source.bytes_per_file + wide * high * source.bytes_per_cell
