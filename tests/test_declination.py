"""Bearings, lengths and areas on the ellipsoid."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from pyproj import Transformer

from funnelfinder.declination import declination_deg, ground_area_m2, leg, lon_lat_deg

# tests/ is one level below the repository root.
OFFICIAL = Path(__file__).parents[1].parent / "shared/oracles/wmm/WMM2025_TEST_VALUES.txt"


@pytest.mark.skipif(not OFFICIAL.exists(), reason=f"{OFFICIAL.name} is not beside the repository")
def test_declination_meets_every_official_value_to_the_last_digit() -> None:
    rows = [line.split() for line in OFFICIAL.read_text().splitlines() if line[:1].isdigit()]
    assert len(rows) >= 50
    for row in rows:
        year, height_km, lat, lon, expected = map(float, row[:5])
        # The published years are halves of a year; the day nearest to them moves it by < 0.005°.
        whole = int(year)
        days = 366 if whole % 4 == 0 else 365
        on = date.fromordinal(date(whole, 1, 1).toordinal() + round((year - whole) * days))
        got = declination_deg(lon, lat, on, height_m=1000 * height_km)
        assert (got - expected + 180) % 360 - 180 == pytest.approx(0, abs=0.02)


def test_declination_after_the_model_ends_is_its_last_day() -> None:
    last = declination_deg(-83.0, 40.0, date(2030, 1, 1))
    assert declination_deg(-83.0, 40.0, date(2034, 6, 1)) == pytest.approx(last, abs=1e-6)


def test_length_and_azimuth_between_two_australian_pillars() -> None:
    # Geocentric Datum of Australia technical manual: Flinders Peak to Buninyong 54 972.271 m,
    # azimuth 306°52'05.37" (GRS 80; WGS 84 differs below a millimetre here).
    flinders = (144 + 25 / 60 + 29.52440 / 3600, -(37 + 57 / 60 + 3.72030 / 3600))
    buninyong = (143 + 55 / 60 + 35.38390 / 3600, -(37 + 39 / 60 + 10.15610 / 3600))
    to_utm = Transformer.from_crs(4326, 32755, always_xy=True)
    found = leg(
        to_utm.transform(*flinders), to_utm.transform(*buninyong), 32755, date(2026, 11, 25)
    )
    assert found.length_m == pytest.approx(54972.271, abs=0.002)
    assert found.true_deg == pytest.approx(306 + 52 / 60 + 5.37 / 3600, abs=1e-5)
    declination = declination_deg(*flinders, date(2026, 11, 25))
    assert found.true_deg - found.magnetic_deg == pytest.approx(declination, abs=1e-9)


def test_area_of_a_degree_square_is_the_ellipsoids() -> None:
    # Karney's geodesic polygon, 40-41 N, 90-89 W on WGS 84: 9 412 788 745.689 m² (computed once
    # with GeographicLib). Its corners in UTM are joined by geodesics, as here.
    corners = [(-90.0, 40.0), (-89.0, 40.0), (-89.0, 41.0), (-90.0, 41.0)]
    to_utm = Transformer.from_crs(4326, 32616, always_xy=True)
    points = [to_utm.transform(*corner) for corner in corners]
    assert ground_area_m2(points, 32616) == pytest.approx(9_412_788_745.689, rel=1e-9)


def test_degrees_come_back_from_the_zone() -> None:
    # GeographicLib manual: 38N 444500 3688500 = 33.33424 N 44.40363 E.
    found = lon_lat_deg(np.array([[444500.0, 3688500.0]]), 32638)
    assert found[0] == pytest.approx([44.40363, 33.33424], abs=1e-5)
