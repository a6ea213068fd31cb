"""Declination beside a published value in the United States."""

from __future__ import annotations

from datetime import date

import pytest

from funnelfinder.declination import declination_deg


def test_southern_california_in_the_middle_of_2025():
    """WMM 2025 official test values: 2025.5, 44 km, 33 N 118 W, 11.10 deg east."""
    found = declination_deg(-118.0, 33.0, date(2025, 7, 2), height_m=44_000.0)
    assert found == pytest.approx(11.10, abs=0.02)
