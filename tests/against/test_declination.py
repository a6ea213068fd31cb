"""Declination beside a published value in the United States."""

from __future__ import annotations

from datetime import date

import pytest

from funnelfinder.declination import declination_deg

#: WMM 2025 official test values (NOAA NCEI): year, height [km], latitude, longitude, declination.
OFFICIAL = [
    (2025.0, 28, 89, -121, -99.77),
    (2025.0, 48, 80, -96, -29.91),
    (2025.0, 65, 43, 93, 0.50),
    (2025.0, 51, -33, 109, -5.49),
    (2025.0, 3, -50, -103, 27.96),
    (2025.0, 18, 0, 21, 1.29),
    (2025.5, 6, -36, -137, 20.28),
    (2025.5, 63, 26, 81, 0.51),
    (2025.5, 44, 33, -118, 11.10),
]


@pytest.mark.parametrize("row", OFFICIAL, ids=str)
def test_declination_meets_the_official_values_to_the_last_digit(row):
    year, height_km, latitude, longitude, wanted = row
    on = date(2025, 1, 1) if year == 2025.0 else date(2025, 7, 2)
    found = declination_deg(float(longitude), float(latitude), on, height_m=1000.0 * height_km)
    assert found == pytest.approx(wanted, abs=0.02)
