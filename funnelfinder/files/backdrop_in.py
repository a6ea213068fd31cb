"""A georeferenced picture or grid as a backdrop to draw on: colours on square cells of a UTM zone.

A backdrop is only looked at. Nothing is computed from it and it is not kept with the property.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np
import rasterio
from pyproj import CRS, Transformer
from rasterio.enums import Resampling
from rasterio.errors import RasterioError
from rasterio.vrt import WarpedVRT

from funnelfinder.errors import GridError
from funnelfinder.files.grids_in.grid_file import opened
from funnelfinder.files.map_systems import utm_epsg
from funnelfinder.grid import Grid, snapped_grid
from funnelfinder.kernels import AnyArray
from funnelfinder.shading import cover_tint, relief_light, relief_rgb

#: A screen shows no more cells than this on a side.
_MOST_SIDE: Final = 2400
#: Cells of a grid in degrees, as people measure them [m for a degree of latitude].
_DEGREE_M: Final = 111_320.0


@dataclass(frozen=True, kw_only=True)
class Backdrop:
    """Colours, (rows, cols, 4) uint8 with opacity 0 where the file has nothing, on a grid."""

    grid: Grid
    colours: AnyArray
    name: str


def read_backdrop(path: Path, *, epsg: int | None = None) -> Backdrop:
    """Return a picture, or the relief of an elevation grid, on cells of a UTM zone.

    Parameters
    ----------
    path : Path
        A georeferenced picture (three bands of bytes) or a grid of one band.
    epsg : int, optional
        Code of the UTM zone; that of the file's middle by default.

    Raises
    ------
    GridError
        If the file cannot be read or does not say where on earth it lies.
    """
    with opened(path) as dataset:
        if dataset.crs is None or dataset.transform.is_identity:
            raise GridError(
                "It does not say where on earth it lies.",
                where=path.name,
                remedy="Export it with its map system, as GeoTIFF.",
            )
        west, south, east, north = _degrees(dataset)
        zone = epsg or utm_epsg((west + east) / 2, (south + north) / 2)
        grid = _grid(dataset, zone)
        try:
            bands, seen = _warped(dataset, grid)
        except RasterioError as error:
            raise GridError(
                "It cannot be read to its end.", where=path.name, remedy="Copy it again."
            ) from error
    colours = _colours(bands, seen, grid)
    return Backdrop(
        grid=grid,
        colours=np.dstack([colours, np.where(seen, 255, 0).astype(np.uint8)]),
        name=path.name,
    )


def read_picture(path: Path, grid: Grid) -> AnyArray:
    """Return a picture of one's own on the cells of a grid; only the window needed is read.

    Parameters
    ----------
    path : Path
        A georeferenced picture: GeoTIFF, GeoPackage, MBTiles, or what else the grid library reads.
    grid : Grid
        Where it is wanted, and how fine.

    Returns
    -------
    (rows, cols, 3) uint8
        Colours; white where the picture has none.

    Raises
    ------
    GridError
        If the file cannot be read, is no picture, does not say where it lies, or lies elsewhere.
    """
    with opened(path) as dataset:
        if dataset.crs is None or dataset.transform.is_identity:
            raise GridError(
                "It does not say where on earth it lies.",
                where=path.name,
                remedy="Export it with its map system, as GeoTIFF.",
            )
        if dataset.count < 3 or dataset.dtypes[0] != "uint8":
            raise GridError(
                "It is no picture: a picture has three bands of bytes.",
                where=path.name,
                remedy="Give a picture, or open it as a grid.",
            )
        try:
            bands, seen = _warped(dataset, grid)
        except RasterioError as error:
            raise GridError(
                "It cannot be read to its end.", where=path.name, remedy="Copy it again."
            ) from error
    if not seen.any():
        raise GridError(
            "It does not reach your boundary.", where=path.name, remedy="Give one of this place."
        )
    colours = np.moveaxis(bands, 0, -1)
    return np.asarray(np.where(seen[..., None], colours, 255).astype(np.uint8))


def _degrees(dataset: Any) -> tuple[float, float, float, float]:
    """Return the bounds of a file [deg]."""
    to_degrees = Transformer.from_crs(CRS.from_wkt(dataset.crs.to_wkt()), 4326, always_xy=True)
    bounds: tuple[float, float, float, float] = to_degrees.transform_bounds(*dataset.bounds)
    if not all(map(math.isfinite, bounds)):
        raise GridError(
            "Its map system does not fit its position.",
            where=Path(dataset.name).name,
            remedy="Export it again with its map system.",
        )
    return bounds


def _grid(dataset: Any, epsg: int) -> Grid:
    """Return the cells that show a file in a UTM zone, no more than a screen needs."""
    to_zone = Transformer.from_crs(CRS.from_wkt(dataset.crs.to_wkt()), epsg, always_xy=True)
    west, south, east, north = to_zone.transform_bounds(*dataset.bounds)
    native = abs(dataset.transform.e) * (_DEGREE_M if dataset.crs.is_geographic else 1.0)
    cell = max(native, (east - west) / _MOST_SIDE, (north - south) / _MOST_SIDE, 0.1)
    return snapped_grid((west, south, east, north), cell_m=cell, epsg=epsg)


def _warped(dataset: Any, grid: Grid) -> tuple[AnyArray, AnyArray]:
    """Return the first bands on the grid, and where the file has values."""
    n = 3 if dataset.count >= 3 and dataset.dtypes[0] == "uint8" else 1
    with WarpedVRT(
        dataset,
        crs=rasterio.CRS.from_epsg(grid.epsg),
        transform=grid.transform,
        width=grid.n_cols,
        height=grid.n_rows,
        resampling=Resampling.bilinear,
        add_alpha=dataset.nodata is None and dataset.count < 4,
    ) as warped:
        bands = warped.read(list(range(1, n + 1)))
        seen = warped.dataset_mask() > 0
    return bands, seen


def _colours(bands: AnyArray, seen: AnyArray, grid: Grid) -> AnyArray:
    """Return a picture as it is, and heights as plain relief."""
    if len(bands) == 3:
        return np.moveaxis(bands, 0, -1)
    heights = np.where(seen, bands[0].astype(np.float64), np.nan)
    light = relief_light(heights, grid.cell_m)
    half = np.zeros(grid.shape)
    return relief_rgb(light, cover_tint(half, half))
