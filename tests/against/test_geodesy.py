"""Positions, distances and areas against published values; what reads files relies on them."""

from __future__ import annotations

import mgrs
import pytest
import shapely
from pyproj import CRS, Geod, Proj, Transformer

from funnelfinder.files.map_systems import (
    compass_word,
    horizontal,
    is_within_utm,
    map_unit_m,
    said_position,
    true_area_m2,
    utm_epsg,
    vertical_unit_m,
)
from funnelfinder.units import (
    ACRE_M2,
    FOOT_M,
    MILE_M,
    US_SURVEY_FOOT_M,
    YARD_M,
    acres,
    yards,
)

WGS84 = Geod(ellps="WGS84")
GRS80 = Geod(ellps="GRS80")


def dms(degrees: int, minutes: int, seconds: float) -> float:
    """Degrees of degrees, minutes and seconds."""
    return degrees + minutes / 60 + seconds / 3600


def utm(longitude: float, latitude: float, epsg: int | None = None) -> tuple[float, float]:
    """Easting and northing in the zone of a place, or in a given one."""
    zone = epsg or utm_epsg(longitude, latitude)
    return Transformer.from_crs(4326, zone, always_xy=True).transform(longitude, latitude)


# UTM ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("longitude", "latitude", "epsg", "east", "north", "within"),
    [
        # GeographicLib manual, GeoConvert(1), example: 33.3 N 44.4 E is 38N 444140.54 3684706.36
        (44.4, 33.3, 32638, 444140.54, 3684706.36, 0.005),
        # GeographicLib manual: the centre of 38SMB4488, 33.33424 N 44.40363 E
        (44.40363, 33.33424, 32638, 444500.0, 3688500.0, 0.6),
        # public encyclopedia, article on UTM: a tower in Toronto, 17T 630084 4833438
        (-79.387139, 43.6425667, 32617, 630084.0, 4833438.0, 1.0),
        # GeographicLib manual: 1 S 3 E is 31S 500000 9889470
        (3.0, -1.0, 32731, 500000.0, 9889470.0, 1.0),
    ],
)
def test_utm_of_published_points(longitude, latitude, epsg, *, east, north, within):
    assert utm_epsg(longitude, latitude) == epsg
    assert utm(longitude, latitude) == pytest.approx((east, north), abs=within)


@pytest.mark.parametrize(
    ("longitude", "latitude", "zone", "east", "north"),
    [
        # Defense Mapping Agency TM 8358.2 (1989), worked examples on the International ellipsoid
        # (from memory; recomputed)
        (45.0, 73.0, 38, 500000.00, 8100702.90),
        (102.0, 30.0, 48, 210577.93, 3322624.35),
        (dms(113, 54, 43.321), dms(72, 4, 32.110), 49, 600000.00, 8000000.01),
    ],
)
def test_utm_worked_examples_of_the_manual(longitude, latitude, zone, *, east, north):
    projection = Proj(proj="utm", zone=zone, ellps="intl")
    assert projection(longitude, latitude) == pytest.approx((east, north), abs=0.011)


def test_convergence_of_the_manual():
    # same source: zone 48, 30 N 102 E: -1.50104 degrees
    factors = Proj(proj="utm", zone=48, ellps="intl").get_factors(102.0, 30.0)
    assert factors.meridian_convergence == pytest.approx(-1.50104, abs=1e-5)


@pytest.mark.parametrize(
    ("east_deg", "scale", "convergence"),
    [(0, 0.999600, 0.0), (1, 0.999690, 0.643), (2, 0.999959, 1.286), (3, 1.000407, 1.929)],
)
def test_scale_across_a_zone_at_40_north(east_deg, scale, convergence):
    # computed with pyproj; k0 = 0.9996 by definition (DMA TM 8358.2)
    factors = Proj(32617).get_factors(-81.0 + east_deg, 40.0)
    assert factors.meridional_scale == pytest.approx(scale, abs=1e-6)
    assert factors.meridian_convergence == pytest.approx(convergence, abs=1e-3)


@pytest.mark.parametrize(
    ("place", "latitude", "longitude", "east", "north", "scale"),
    [
        # Geocentric Datum of Australia technical manual (ICSM), test points, MGA zone 55
        # (from memory; recomputed)
        (
            "Flinders Peak",
            -dms(37, 57, 3.72030),
            dms(144, 25, 29.52440),
            273741.297,
            5796489.777,
            1.00023056,
        ),
        (
            "Buninyong",
            -dms(37, 39, 10.15610),
            dms(143, 55, 35.38390),
            228854.051,
            5828259.038,
            1.00050567,
        ),
    ],
)
def test_map_grid_of_the_australian_manual(place, latitude, longitude, *, east, north, scale):
    mga = Transformer.from_crs(4283, 28355, always_xy=True)  # zone 55, also beyond its edge
    assert mga.transform(longitude, latitude) == pytest.approx((east, north), abs=0.001), place
    factors = Proj(28355).get_factors(longitude, latitude)
    assert factors.meridional_scale == pytest.approx(scale, abs=1e-8)


@pytest.mark.parametrize(
    ("longitude", "latitude", "epsg"),
    [
        (-90.0, 45.0, 32616),  # a zone's western edge belongs to it (DMA TM 8358.2)
        (-84.0, 40.0, 32617),
        (-84.000001, 40.0, 32616),
        (-180.0, 10.0, 32601),
        (179.999, 10.0, 32660),
        (180.0, 10.0, 32601),
        (10.0, 0.0, 32632),
        (10.0, -0.001, 32732),
    ],
)
def test_zone_edges(longitude, latitude, epsg):
    assert utm_epsg(longitude, latitude) == epsg


def test_zones_agree_with_the_military_grid():
    # Zone numbers of an independent library (mgrs, after GEOTRANS), away from Norway's exceptions.
    grid = mgrs.MGRS()
    for longitude in range(-179, 180, 7):
        for latitude in (-41.3, 12.0, 40.1):
            zone = int(grid.toMGRS(latitude, longitude)[:2])
            assert utm_epsg(longitude, latitude) % 100 == zone


def test_utm_ends_at_84_north_and_80_south():
    # DMA TM 8358.2 (1989)
    assert is_within_utm(84.0)
    assert is_within_utm(-80.0)
    assert not is_within_utm(84.1)
    assert not is_within_utm(-80.1)


# Distances and areas on the ellipsoid -------------------------------------------------------


def test_distance_of_the_australian_manual():
    # Geocentric Datum of Australia technical manual (ICSM): Flinders Peak to Buninyong
    # 54972.271 m, azimuth 306 52 05.37, back 127 10 25.07 (from memory; recomputed)
    azimuth, back, distance = GRS80.inv(
        dms(144, 25, 29.52440),
        -dms(37, 57, 3.72030),
        dms(143, 55, 35.38390),
        -dms(37, 39, 10.15610),
    )
    assert distance == pytest.approx(54972.271, abs=0.001)
    assert azimuth % 360 == pytest.approx(dms(306, 52, 5.37), abs=3e-6)
    assert back % 360 == pytest.approx(dms(127, 10, 25.07), abs=3e-6)


def test_distances_of_the_geographiclib_manual():
    # C. F. F. Karney, GeographicLib manual, GeodSolve(1): New York to London
    azimuth, _, distance = WGS84.inv(-73.8, 40.6, -0.5, 51.6)
    assert distance == pytest.approx(5551759.400, abs=0.001)
    assert azimuth == pytest.approx(51.198882846, abs=1e-8)
    # geographiclib documentation for Python: Wellington to Salamanca, nearly opposite
    assert WGS84.inv(174.81, -41.32, -5.50, 40.96)[2] == pytest.approx(19959679.267, abs=0.001)


def test_area_of_antarctica_in_the_geographiclib_documentation():
    # geographiclib documentation for Python, "Computing the area of a polygon": Antarctica in 18
    # points, 13662703680020.1 m2, 16831067.893 m
    points = [
        (-63.1, -58), (-72.9, -74), (-71.9, -102), (-74.9, -102), (-74.3, -131), (-77.5, -163),
        (-77.4, 163), (-71.7, 172), (-65.9, 140), (-65.7, 113), (-66.6, 88), (-66.9, 59),
        (-69.8, 25), (-70.0, -4), (-71.0, -14), (-77.3, -33), (-77.9, -46), (-74.7, -61),
    ]  # fmt: skip
    area, perimeter = WGS84.polygon_area_perimeter(
        [longitude for _, longitude in points], [latitude for latitude, _ in points]
    )
    assert abs(area) == pytest.approx(13662703680020.1, abs=1.0)
    assert perimeter == pytest.approx(16831067.893, abs=0.001)


def test_true_area_of_a_degree_square():
    # Geodesic quadrangle 40-41 N, 90-89 W: 9412788745.689 m2 (computed with geographiclib)
    square = shapely.box(-90, 40, -89, 41)
    assert true_area_m2(square, 4326) == pytest.approx(9412788745.689, abs=1.0)


def test_holes_and_parts_count_in_the_true_area():
    whole = shapely.box(400_000, 4_430_000, 401_000, 4_431_000)
    hole = shapely.box(400_200, 4_430_200, 400_400, 4_430_400)
    part = shapely.box(402_000, 4_430_000, 402_300, 4_430_300)
    shape = shapely.union(shapely.difference(whole, hole), part)
    expected = true_area_m2(whole, 32617) - true_area_m2(hole, 32617) + true_area_m2(part, 32617)
    assert true_area_m2(shape, 32617) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("east_deg", [0.0, 1.0, 2.0, 2.9])
def test_map_area_is_off_by_the_square_of_the_scale(east_deg):
    # Redfearn's scale, squared; at most 0.08 % within a zone at 40 north
    east, north = utm(-81.0 + east_deg, 40.0, 32617)
    half = MILE_M / 2
    section = shapely.box(east - half, north - half, east + half, north + half)
    scale = Proj(32617).get_factors(-81.0 + east_deg, 40.0).meridional_scale
    true = true_area_m2(section, 32617)
    assert section.area / true == pytest.approx(scale**2, abs=2e-7)
    assert abs(section.area / true - 1) < 0.00085


# Units --------------------------------------------------------------------------------------


def test_yard_foot_mile_and_acre():
    # exact: National Bureau of Standards, Federal Register 24 FR 5348 (1959)
    assert YARD_M == 0.9144
    assert FOOT_M == 0.3048
    assert pytest.approx(1609.344, abs=1e-12) == MILE_M
    assert pytest.approx(43_560 * FOOT_M**2, rel=1e-15) == ACRE_M2
    assert pytest.approx(4046.8564224, abs=1e-10) == ACRE_M2
    assert yards(MILE_M) == pytest.approx(1760.0)
    # a quarter of a quarter section is 40 acres, 402.336 m square
    assert acres(402.336**2) == pytest.approx(40.0, rel=1e-12)
    assert acres(MILE_M**2) == pytest.approx(640.0, rel=1e-12)


def test_the_us_survey_foot():
    # exact: 1200/3937 m (Mendenhall order, 1893); retired by NIST and NOAA at the end of 2022,
    # Federal Register 85 FR 62698 (from memory)
    assert pytest.approx(0.3048006096, abs=1e-10) == US_SURVEY_FOOT_M
    # 2 millionths: 1.22 m at a false easting of 2,000,000 ft
    assert pytest.approx(1.22, abs=0.005) == 2_000_000 * (US_SURVEY_FOOT_M - FOOT_M)
    # acre of survey feet: 4046.87260987 m2
    assert pytest.approx(4046.87260987, abs=1e-8) == 43_560 * US_SURVEY_FOOT_M**2


@pytest.mark.parametrize(
    ("code", "unit_m"),
    [(5703, 1.0), (8228, FOOT_M), (6360, US_SURVEY_FOOT_M), (5773, 1.0)],
)
def test_units_of_vertical_systems(code, unit_m):
    # EPSG registry: NAVD88 height in metres, feet and US survey feet; EGM96 height
    compound = CRS.from_user_input(f"EPSG:32617+{code}")
    assert vertical_unit_m(compound) == pytest.approx(unit_m, rel=1e-12)
    assert horizontal(compound) == CRS.from_epsg(32617)


@pytest.mark.parametrize(
    ("code", "unit_m"),
    [
        (3735, US_SURVEY_FOOT_M),  # NAD83 / Ohio South (ftUS), EPSG registry
        (2223, FOOT_M),  # NAD83 / Arizona East (ft), EPSG registry: the international foot
        (3358, 1.0),  # NAD83(HARN) / North Carolina, EPSG registry
        (4269, None),  # NAD83, degrees
    ],
)
def test_units_of_maps(code, unit_m):
    found = map_unit_m(CRS.from_epsg(code))
    assert found is unit_m if unit_m is None else found == pytest.approx(unit_m, rel=1e-12)


# Words --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bearing", "word"),
    [
        (0, "north"),
        (22, "north"),
        (23, "north-east"),
        (-90, "west"),
        (359, "north"),
        (180, "south"),
    ],
)
def test_eight_directions(bearing, word):
    assert compass_word(bearing) == word


def test_positions_are_said_with_letters_and_never_with_a_minus():
    # five decimals of a degree are 1.1 m
    assert said_position(-83.2, -0.5) == "0.50000 S, 83.20000 W"
