"""Which public grids cover a place, what their files are called, and how large they are.

The names follow from longitude and latitude by rules that the agencies publish. Sizes are what
one file of the kind takes; they differ from place to place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from pyproj import Transformer

from funnelfinder.declination import lon_lat_deg
from funnelfinder.kernels import FloatArray

#: Bounds of the contiguous United States, where the national grids have their finest cells [deg].
_US_WEST, _US_SOUTH, _US_EAST, _US_NORTH = -125.0, 24.0, -66.5, 49.5
_TEN_KM_M: Final = 10_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicGrid:
    """A public grid over a place.

    ``kind`` is ``elevation`` or ``land cover``; ``files`` are the names to look for, empty where
    one file covers the whole country; ``size_mb`` is what one file takes, as people read it.
    """

    kind: str
    product: str
    agency: str
    files: tuple[str, ...]
    cell: str
    size_mb: str
    address: str
    caution: str = ""


def arc_third_names(bounds_deg: tuple[float, float, float, float]) -> tuple[str, ...]:
    """Return the names of the 1/3 arc-second elevation files, by their north-west corner.

    Parameters
    ----------
    bounds_deg : (west, south, east, north)
        Extent [deg]; each file covers one degree.

    Examples
    --------
    >>> arc_third_names((-83.20, 40.10, -83.19, 40.11))
    ('USGS_13_n41w084.tif',)
    """
    west, south, east, north = bounds_deg
    return tuple(
        f"USGS_13_n{row + 1:02d}w{-col:03d}.tif"
        for row in range(math.floor(south), math.ceil(north))
        for col in range(math.floor(west), math.ceil(east))
    )


def one_metre_squares(bounds_m: tuple[float, float, float, float]) -> tuple[str, ...]:
    """Return the squares of the 1 m elevation, by their north-west corner in units of 10 km.

    Parameters
    ----------
    bounds_m : (west, south, east, north)
        Extent in the UTM zone of the files [m].

    Examples
    --------
    >>> one_metre_squares((312400, 4441100, 312600, 4441300))
    ('x31y445',)
    """
    west, south, east, north = bounds_m
    rows = range(math.floor(south / _TEN_KM_M), math.ceil(north / _TEN_KM_M))
    cols = range(math.floor(west / _TEN_KM_M), math.ceil(east / _TEN_KM_M))
    return tuple(f"x{col:02d}y{row + 1:03d}" for row in rows for col in cols)


def albers_squares(bounds_albers_m: tuple[float, float, float, float]) -> tuple[str, ...]:
    """Return the squares of the seamless 1 m elevation, by their north-west corner in km.

    Parameters
    ----------
    bounds_albers_m : (west, south, east, north)
        Extent in EPSG:6350 [m].

    Examples
    --------
    >>> albers_squares((1078300, 1970900, 1078500, 1971000))
    ('n1980e1070',)
    """
    west, south, east, north = bounds_albers_m
    names = []
    for row in range(math.floor(south / _TEN_KM_M), math.ceil(north / _TEN_KM_M)):
        for col in range(math.floor(west / _TEN_KM_M), math.ceil(east / _TEN_KM_M)):
            side = "e" if col >= 0 else "w"
            names.append(f"n{row * 10 + 10}{side}{abs(col * 10)}")
    return tuple(names)


def surface_names(bounds_deg: tuple[float, float, float, float]) -> tuple[str, ...]:
    """Return the names of the world's 30 m surface heights, by their south-west corner.

    Examples
    --------
    >>> surface_names((-83.20, 40.10, -83.19, 40.11))
    ('Copernicus_DSM_COG_10_N40_00_W084_00_DEM.tif',)
    """
    west, south, east, north = bounds_deg
    return tuple(
        f"Copernicus_DSM_COG_10_{_lat(row)}_00_{_lon(col)}_00_DEM.tif"
        for row in range(math.floor(south), math.ceil(north))
        for col in range(math.floor(west), math.ceil(east))
    )


def world_cover_names(bounds_deg: tuple[float, float, float, float]) -> tuple[str, ...]:
    """Return the names of the world's 10 m land cover of 2021, tiles of 3 degrees.

    Examples
    --------
    >>> world_cover_names((-83.20, 40.10, -83.19, 40.11))
    ('ESA_WorldCover_10m_2021_v200_N39W084_Map.tif',)
    """
    west, south, east, north = bounds_deg
    return tuple(
        f"ESA_WorldCover_10m_2021_v200_{_lat(row * 3)}{_lon(col * 3)}_Map.tif"
        for row in range(math.floor(south / 3), math.ceil(north / 3))
        for col in range(math.floor(west / 3), math.ceil(east / 3))
    )


def _lat(degree: int) -> str:
    """Return a whole latitude as the files write it."""
    return f"{'N' if degree >= 0 else 'S'}{abs(degree):02d}"


def _lon(degree: int) -> str:
    """Return a whole longitude as the files write it."""
    return f"{'E' if degree >= 0 else 'W'}{abs(degree):03d}"


def public_grids(
    bounds_m: tuple[float, float, float, float], epsg: int, surround_m: float
) -> tuple[PublicGrid, ...]:
    """Return the public grids over a boundary and its surround, the best of each kind first.

    Parameters
    ----------
    bounds_m : (west, south, east, north)
        Bounds of the boundary in its UTM zone [m].
    epsg : int
        Code of the UTM zone.
    surround_m : float
        How far beyond the boundary the ground is modelled [m].
    """
    west, south, east, north = bounds_m
    wide = (west - surround_m, south - surround_m, east + surround_m, north + surround_m)
    corners = np.array([(x, y) for x in (wide[0], wide[2]) for y in (wide[1], wide[3])])
    degrees = _bounds(lon_lat_deg(corners, epsg))
    world = (_surface(degrees), _world_cover(degrees))
    if not (
        degrees[0] > _US_WEST
        and degrees[2] < _US_EAST
        and degrees[1] > _US_SOUTH
        and degrees[3] < _US_NORTH
    ):
        return world
    albers = _bounds(np.column_stack(_to_albers(epsg).transform(corners[:, 0], corners[:, 1])))
    return (
        _one_metre(wide, epsg, albers),
        _arc_third(degrees),
        _nlcd(),
        world[1],
    )


@cache
def _to_albers(epsg: int) -> Transformer:
    """Return the way to the map system of the tiles; making it takes longer than using it."""
    return Transformer.from_crs(epsg, 6350, always_xy=True)


def _bounds(points: FloatArray) -> tuple[float, float, float, float]:
    """Return west, south, east, north of points."""
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _one_metre(
    wide_m: tuple[float, float, float, float],
    epsg: int,
    albers_m: tuple[float, float, float, float],
) -> PublicGrid:
    """Return the lidar elevation of 1 m, by project and seamless."""
    by_project = tuple(
        f"USGS_1M_{epsg % 100}_{square}_…tif" for square in one_metre_squares(wide_m)
    )
    seamless = tuple(f"S1M_{square}_…tif" for square in albers_squares(albers_m))
    return PublicGrid(
        kind="elevation",
        product="3DEP lidar elevation, 1 m",
        agency="U.S. Geological Survey",
        files=by_project + seamless,
        cell="every 3 feet",
        size_mb="200 to 450 MB",
        address="https://apps.nationalmap.gov/downloader/",
        caution="Either form does. Not flown everywhere yet.",
    )


def _arc_third(degrees: tuple[float, float, float, float]) -> PublicGrid:
    """Return the seamless elevation of about 10 m."""
    return PublicGrid(
        kind="elevation",
        product="3DEP elevation, 1/3 arc-second",
        agency="U.S. Geological Survey",
        files=arc_third_names(degrees),
        cell="every 11 yards",
        size_mb="350 to 490 MB",
        address="https://apps.nationalmap.gov/downloader/",
        caution="Covers everything, but too coarse to show a narrow bench.",
    )


def _nlcd() -> PublicGrid:
    """Return the national land cover, one file for the country or a cut of it."""
    return PublicGrid(
        kind="land cover",
        product="Annual National Land Cover Database",
        agency="Multi-Resolution Land Characteristics Consortium",
        files=(),
        cell="every 33 yards",
        size_mb="a few MB when cut to a county, 1.4 GB whole",
        address="https://www.mrlc.gov/data",
    )


def _world_cover(degrees: tuple[float, float, float, float]) -> PublicGrid:
    """Return the world's land cover of 10 m."""
    return PublicGrid(
        kind="land cover",
        product="WorldCover 2021, 10 m",
        agency="European Space Agency",
        files=world_cover_names(degrees),
        cell="every 11 yards",
        size_mb="8 to 60 MB",
        address="https://esa-worldcover.org",
        caution="© ESA WorldCover project 2021, CC BY 4.0.",
    )


def _surface(degrees: tuple[float, float, float, float]) -> PublicGrid:
    """Return the world's surface heights of 30 m."""
    return PublicGrid(
        kind="elevation",
        product="Copernicus GLO-30 surface heights",
        agency="European Space Agency",
        files=surface_names(degrees),
        cell="every 33 yards",
        size_mb="20 to 50 MB",
        address="https://dataspace.copernicus.eu",
        caution="Treetops are in it: benches and fine features cannot be found from it.",
    )
