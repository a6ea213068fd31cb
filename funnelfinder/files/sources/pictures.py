"""Aerial pictures from square tiles, joined."""

from __future__ import annotations

import io
import warnings
from typing import Final

import mercantile
import numpy as np
from affine import Affine
from PIL import Image, UnidentifiedImageError

from funnelfinder.files.property_file import Picture
from funnelfinder.files.sources.area import Area
from funnelfinder.files.sources.faults import Fault, WireError, said_text
from funnelfinder.files.sources.kept_bytes import KeptBytes, whole
from funnelfinder.files.sources.reading import Bench
from funnelfinder.files.sources.table import Source
from funnelfinder.files.sources.tiles import Tile, fitting_zoom, tiles_of
from funnelfinder.files.sources.wire import said_where
from funnelfinder.kernels import AnyArray

#: Side of a tile [dots].
TILE_DOTS: Final = 256
_BLANK: Final = 255


def take_picture(source: Source, bench: Bench, area: Area) -> tuple[Picture, float]:
    """Return the aerial picture over an area, and the share of it that the source lacks.

    Missing tiles are white.

    Raises
    ------
    WireError
        If no tile is there, or one cannot be had; a picture is whole or not at all, gaps that the
        source itself has aside.
    """
    tiles = tiles_of(source, area, bench.wire, bench.kept)
    places = [_place(tile) for tile in tiles]
    zoom = fitting_zoom(source, area)
    left, top = min(x for x, _ in places), min(y for _, y in places)
    n_cols = max(x for x, _ in places) - left + 1
    n_rows = max(y for _, y in places) - top + 1
    colours = np.full((n_rows * TILE_DOTS, n_cols * TILE_DOTS, 3), _BLANK, dtype=np.uint8)
    n_missing = 0
    for tile, (x, y) in zip(tiles, places, strict=True):
        dots = _dots(tile, bench)
        if dots is None:
            n_missing += 1
            continue
        row, col = (y - top) * TILE_DOTS, (x - left) * TILE_DOTS
        colours[row : row + TILE_DOTS, col : col + TILE_DOTS] = dots
    if n_missing == len(tiles):
        raise WireError(Fault.NOT_THERE, where=source.name)
    corner = mercantile.xy_bounds(left, top, zoom)
    cell = (corner.right - corner.left) / TILE_DOTS
    transform = Affine(cell, 0.0, corner.left, 0.0, -cell, corner.top)
    return Picture(colours=colours, transform=transform), n_missing / len(tiles)


def _place(tile: Tile) -> tuple[int, int]:
    """Return column and row of a tile."""
    _, row, col = tile.name.split("/")
    return int(col), int(row)


def _dots(tile: Tile, bench: Bench) -> AnyArray | None:
    """Return the colours of one tile; None where the source has none."""
    try:
        data = whole(bench.wire, bench.kept, tile.address)
    except WireError as error:
        if error.is_no_coverage:
            return None
        raise
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as image:
                dots = np.asarray(image.convert("RGB"))
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Warning) as error:
        KeptBytes(bench.kept, tile.address).drop()
        raise WireError(
            Fault.WRONG_TYPE, where=said_where(tile.address), more=said_text(data)
        ) from error
    if dots.shape != (TILE_DOTS, TILE_DOTS, 3):
        raise WireError(Fault.WRONG_TYPE, where=tile.name, more=f"{dots.shape[1]} dots wide")
    return dots
