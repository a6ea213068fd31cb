"""Coordinate reference systems as files state them: their parts, their units, and UTM zones."""

from __future__ import annotations

import math
import warnings
from functools import lru_cache
from typing import Final, TypeVar

import numpy as np
import shapely
from pyproj import CRS, Geod, Transformer
from pyproj.transformer import TransformerGroup
from shapely.geometry.base import BaseGeometry

_Shape = TypeVar("_Shape", bound=BaseGeometry)

WGS84: Final = 4326
#: UTM is defined from 80 degrees south to 84 degrees north (DMA TM 8358.2, 1989, section 2).
MOST_NORTH_DEG: Final = 84.0
MOST_SOUTH_DEG: Final = -80.0
#: Positions known no better than this are worth a word: half of a scrape's reach, judgement.
WORTH_A_NOTE_M: Final = 10.0

_GEOD: Final = Geod(ellps="WGS84")
_COMPASS: Final = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


@lru_cache(maxsize=64)
def way(source: CRS | int, target: CRS | int) -> Transformer:
    """Return the way from one map system to another, easting or longitude first.

    Finding it takes longer than using it, so it is kept.
    """
    return Transformer.from_crs(source, target, always_xy=True)


def horizontal(crs: CRS) -> CRS:
    """Return the part of a coordinate reference system that says where on the map.

    Examples
    --------
    >>> horizontal(CRS("EPSG:32617+5703")).to_epsg()
    32617
    """
    if crs.is_compound:
        return horizontal(crs.sub_crs_list[0])
    if crs.is_bound and crs.source_crs is not None and crs.source_crs.is_compound:
        return horizontal(crs.source_crs)
    return crs.to_2d()


def vertical_unit_m(crs: CRS) -> float | None:
    """Return the unit of heights that a coordinate reference system states [m], or None.

    Examples
    --------
    >>> vertical_unit_m(CRS("EPSG:32617+5703"))
    1.0
    >>> vertical_unit_m(CRS("EPSG:32617")) is None
    True
    """
    if crs.is_bound and crs.source_crs is not None:
        return vertical_unit_m(crs.source_crs)
    parts = crs.sub_crs_list if crs.is_compound else [crs]
    for part in parts:
        for axis in part.axis_info:
            if axis.direction.lower() in ("up", "down"):
                return float(axis.unit_conversion_factor)
    return None


def map_unit_m(crs: CRS) -> float | None:
    """Return the unit of the map coordinates [m], or None where they are degrees.

    Examples
    --------
    >>> round(map_unit_m(CRS("EPSG:3735")), 9)
    0.30480061
    """
    if crs.is_geographic or not crs.axis_info:
        return None
    return float(crs.axis_info[0].unit_conversion_factor)


def utm_epsg(longitude_deg: float, latitude_deg: float) -> int:
    """Return the EPSG code of the WGS 84 UTM zone of a place, by plain zones of six degrees.

    The exceptions for Norway and Svalbard are left out: one property lies in one zone, and any
    zone near it will do.

    Examples
    --------
    >>> utm_epsg(-83.2, 40.1), utm_epsg(-84.0, 40.1), utm_epsg(174.8, -41.3)
    (32617, 32617, 32760)
    """
    zone = math.floor((longitude_deg + 180.0) / 6.0) % 60 + 1
    return (32600 if latitude_deg >= 0 else 32700) + zone


def is_within_utm(latitude_deg: float) -> bool:
    """Return whether UTM reaches to a latitude."""
    return MOST_SOUTH_DEG <= latitude_deg <= MOST_NORTH_DEG


def said_position(longitude_deg: float, latitude_deg: float) -> str:
    """Return a position as people in the field write it.

    Examples
    --------
    >>> said_position(-83.2, 40.1)
    '40.10000 N, 83.20000 W'
    """
    north = "N" if latitude_deg >= 0 else "S"
    east = "E" if longitude_deg >= 0 else "W"
    return f"{abs(latitude_deg):.5f} {north}, {abs(longitude_deg):.5f} {east}"


def compass_word(bearing_deg: float) -> str:
    """Return the nearest of eight directions.

    Examples
    --------
    >>> compass_word(271.0), compass_word(-44.0)
    ('west', 'north-west')
    """
    return _COMPASS[round(bearing_deg / 45.0) % 8]


def datum_note(crs: CRS, epsg: int, where: str) -> tuple[str, ...]:
    """Return a note if positions can be moved to the UTM zone only roughly, else nothing.

    Old datums need shift grids that are not on every machine; without them the best way left may
    miss by tens of metres.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # that a grid is missing: judged below
        group = TransformerGroup(crs, CRS.from_epsg(epsg), always_xy=True)
    if not group.transformers:
        return ()
    best = group.transformers[0]
    if 0 <= best.accuracy <= WORTH_A_NOTE_M or not _is_other_datum(crs):
        return ()
    how = f"to about {best.accuracy:.0f} m" if best.accuracy > 0 else "roughly"
    return (f"{where}: positions on its old datum can be moved to WGS 84 only {how}.",)


def _is_other_datum(crs: CRS) -> bool:
    """Return whether the ellipsoid is another than that of WGS 84 and its kin."""
    ellipsoid = crs.ellipsoid
    return ellipsoid is not None and abs(ellipsoid.semi_major_metre - 6378137.0) > 1.0


def true_area_m2(outline: BaseGeometry, epsg: int) -> float:
    """Return the area of an outline on the ellipsoid [m²]; its map area is off by up to 0.1 %.

    Parameters
    ----------
    outline : shapely geometry
        Polygons in the coordinates of ``epsg``.
    epsg : int
        Code of their coordinate reference system.

    References
    ----------
    .. [1] C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87, 43-55, 2013.
    """
    return abs(_GEOD.geometry_area_perimeter(shapely.orient_polygons(in_degrees(outline, epsg)))[0])


def in_degrees(geometry: _Shape, epsg: int) -> _Shape:
    """Return a geometry in longitude and latitude on WGS 84 [deg]."""
    return moved(geometry, way(epsg, WGS84))


def moved(geometry: _Shape, transformer: Transformer) -> _Shape:
    """Return a geometry with its points moved by a transformer."""
    return shapely.transform(
        geometry, lambda points: np.column_stack(transformer.transform(*points.T))
    )
