"""A picture of one's own as a property keeps it: the window of it that the property needs."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final

from pyproj import Transformer

from funnelfinder.errors import GridError
from funnelfinder.files.backdrop_in import read_picture
from funnelfinder.files.grids_in.grid_file import opened
from funnelfinder.files.property_file import Picture, save_brought
from funnelfinder.grid import snapped_grid
from funnelfinder.ground import Origin, travel_grid
from funnelfinder.marks import Property

_WEB_MAP: Final = 3857
#: No more cells than this are kept on a side: 48 MB before packing (judgement).
MOST_SIDE: Final = 4096
_LEAST_CELL_M: Final = 0.1


def own_picture(path: Path, place: Property) -> tuple[Picture, Origin]:
    """Return the window of a picture over a property and its surround, and where it is from.

    Parameters
    ----------
    path : Path
        A georeferenced picture: GeoTIFF, GeoPackage or MBTiles.
    place : Property
        Its boundary and surround.

    Raises
    ------
    GridError
        If the file cannot be read, is no picture, or lies elsewhere.
    """
    bounds = travel_grid(place).bounds_m
    to_web = Transformer.from_crs(place.epsg, _WEB_MAP, always_xy=True)
    west, south, east, north = to_web.transform_bounds(*bounds)
    finest = max(east - west, north - south) / MOST_SIDE
    cell = max(_cell_m(path), finest, _LEAST_CELL_M)
    grid = snapped_grid((west, south, east, north), cell_m=cell, epsg=_WEB_MAP)
    picture = Picture(colours=read_picture(path, grid), transform=grid.transform)
    origin = Origin(
        kind="picture",
        source="your own picture",
        file=path.name,
        address=path.name,
        on=date.today().isoformat(),
    )
    return picture, origin


def keep_picture(place_path: Path, place: Property, picture_path: Path) -> Origin:
    """Keep the window of a picture of one's own in a property file, in the place of one before.

    `funnelfinder.files.property_file.load_picture` gives it back on the cells of any grid.

    Parameters
    ----------
    place_path : Path
        The property file.
    place : Property
        What it holds.
    picture_path : Path
        A georeferenced picture: GeoTIFF, GeoPackage or MBTiles.

    Raises
    ------
    GridError
        As for `own_picture`; the property file is as it was.
    PropertyFileError
        If it cannot be kept; the property file is as it was.
    """
    picture, origin = own_picture(picture_path, place)
    save_brought(place_path, epsg=place.epsg, picture=picture, origins=[origin])
    return origin


def _cell_m(path: Path) -> float:
    """Return the side of a picture's cells on the web map [m]."""
    with opened(path) as dataset:
        if dataset.crs is None:
            raise GridError(
                "It does not say where on earth it lies.",
                where=path.name,
                remedy="Export it with its map system, as GeoTIFF.",
            )
        to_web = Transformer.from_crs(dataset.crs.to_wkt(), _WEB_MAP, always_xy=True)
        west, _, east, _ = to_web.transform_bounds(*dataset.bounds)
        return float((east - west) / dataset.width)
