"""Parts of coordinate reference systems that files state in many ways.

Positions, zones, areas and units against published values are in tests/against/test_geodesy.py.
"""

from __future__ import annotations

import pytest
import shapely
from pyproj import CRS

from funnelfinder.files.map_systems import (
    datum_note,
    horizontal,
    in_degrees,
    moved,
    vertical_unit_m,
    way,
)

#: NAD 83 with a grid-free shift to WGS 84 tied to it, as older software writes it.
BOUND = CRS.from_wkt(
    'PROJCS["UTM 12N",GEOGCS["GRS 1980",DATUM["unknown",SPHEROID["GRS80",6378137,298.257222101],'
    'TOWGS84[0,0,0,0,0,0,0]],PRIMEM["Greenwich",0],UNIT["degree",0.0174532925199433]],'
    'PROJECTION["Transverse_Mercator"],PARAMETER["latitude_of_origin",0],'
    'PARAMETER["central_meridian",-111],PARAMETER["scale_factor",0.9996],'
    'PARAMETER["false_easting",500000],PARAMETER["false_northing",0],UNIT["Meter",1]]'
)


def test_a_system_in_three_dimensions_has_a_flat_part_and_a_height_unit():
    # EPSG:4979 is WGS 84 with ellipsoidal height in metres.
    assert horizontal(CRS.from_epsg(4979)).to_epsg() == 4326
    assert vertical_unit_m(CRS.from_epsg(4979)) == 1.0


def test_a_bound_system_stays_bound_and_has_no_height_unit():
    assert BOUND.is_bound
    assert horizontal(BOUND).is_projected or horizontal(BOUND).source_crs.is_projected
    assert vertical_unit_m(BOUND) is None


@pytest.mark.parametrize("code", [4326, 4269, 26917, 5070, 6350, 3735, 3857, 32616])
def test_present_datums_need_no_note(code):
    assert datum_note(CRS.from_epsg(code), 32617, "grid.tif") == ()


@pytest.mark.parametrize("code", [4267, 26717])
def test_old_datums_get_one(code):
    # EPSG:4267 is NAD 27, on Clarke's ellipsoid of 1866.
    (note,) = datum_note(CRS.from_epsg(code), 32617, "grid.tif")
    assert note.startswith("grid.tif: positions on its old datum")


def test_there_and_back_is_where_it_was():
    square = shapely.box(312_000, 4_441_000, 312_400, 4_441_500)
    back = moved(in_degrees(square, 32617), way(4326, 32617))
    assert shapely.equals_exact(back, square, tolerance=1e-6)
