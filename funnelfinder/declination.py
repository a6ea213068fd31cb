"""Directions and sizes on the ellipsoid: true and magnetic bearings, lengths and areas.

Maps in a UTM zone turn and stretch the ground a little: their grid north leaves true north by up
to 1.9 degrees at 40 degrees north, and areas are off by up to 0.08 %. What people read is
therefore computed on the ellipsoid. Bearings are degrees clockwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from pygeomag import GeoMag
from pyproj import Geod, Transformer

from funnelfinder.kernels import FloatArray

_ELLIPSOID = Geod(ellps="WGS84")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A straight line on the ground: its length [m] and its bearings at the start [deg]."""

    length_m: float
    true_deg: float
    magnetic_deg: float


@lru_cache(maxsize=8)
def _to_degrees(epsg: int) -> Transformer:
    """Return the way from a UTM zone to longitude and latitude."""
    return Transformer.from_crs(epsg, 4326, always_xy=True)


@lru_cache(maxsize=1)
def _magnetic_model() -> GeoMag:
    """Return the World Magnetic Model that is shipped."""
    return GeoMag(coefficients_file="wmm/WMM_2025.COF")


def lon_lat_deg(points_m: FloatArray, epsg: int) -> FloatArray:
    """Return longitude and latitude [deg], shape (n, 2), of points in a UTM zone.

    Examples
    --------
    >>> lon_lat_deg(np.array([[312474.9, 4441175.9]]), 32617).round(4)
    array([[-83.2,  40.1]])
    """
    points = np.asarray(points_m, dtype=np.float64).reshape(-1, 2)
    lon, lat = _to_degrees(epsg).transform(points[:, 0], points[:, 1])
    return np.column_stack([lon, lat])


def declination_deg(
    longitude_deg: float, latitude_deg: float, on: date, *, height_m: float = 0.0
) -> float:
    """Return how far magnetic north lies east of true north [deg].

    Parameters
    ----------
    longitude_deg, latitude_deg : float
        Where, on WGS 84 [deg].
    on : date
        The day; the model holds from 2025 to 2030 and the nearest day of it is taken.
    height_m : float
        Height above the ellipsoid [m]; it hardly matters near the ground.

    References
    ----------
    .. [1] NOAA NCEI and British Geological Survey, World Magnetic Model 2025.

    Examples
    --------
    >>> round(declination_deg(-83.0, 40.0, date(2026, 11, 25)), 1)
    -7.2
    """
    first, last = _magnetic_model().life_span
    days = 366 if on.year % 4 == 0 else 365
    year = on.year + (on - date(on.year, 1, 1)).days / days
    found = _magnetic_model().calculate(
        glat=latitude_deg,
        glon=longitude_deg,
        alt=height_m / 1000,
        time=min(max(year, first), last),
    )
    return float(found.d)


def leg(start_m: tuple[float, float], end_m: tuple[float, float], epsg: int, on: date) -> Leg:
    """Return length and bearings from one point of a UTM zone to another.

    Examples
    --------
    >>> one = leg((500000, 4400000), (500000, 4400914.4), 32617, date(2026, 11, 25))
    >>> round(one.length_m, 1), round(one.true_deg, 1)
    (914.8, 0.0)
    """
    (lon0, lat0), (lon1, lat1) = lon_lat_deg(np.array([start_m, end_m]), epsg)
    bearing, _, length = _ELLIPSOID.inv(lon0, lat0, lon1, lat1)
    true = bearing % 360.0
    magnetic = (true - declination_deg(lon0, lat0, on)) % 360.0
    return Leg(length_m=float(length), true_deg=float(true), magnetic_deg=float(magnetic))


def ground_area_m2(corners_m: Sequence[tuple[float, float]], epsg: int) -> float:
    """Return the area that corners in a UTM zone enclose, on the ellipsoid [m²].

    Examples
    --------
    >>> square = [(500000, 4400000), (501000, 4400000), (501000, 4401000), (500000, 4401000)]
    >>> round(ground_area_m2(square, 32617))
    1000800
    """
    lon_lat = lon_lat_deg(np.array(corners_m), epsg)
    area, _ = _ELLIPSOID.polygon_area_perimeter(lon_lat[:, 0], lon_lat[:, 1])
    return abs(float(area))
