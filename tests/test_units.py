"""Units as people read them; the exact definitions are checked in tests/against."""

from __future__ import annotations

import pytest

from funnelfinder.units import (
    ACRE_M2,
    FOOT_M,
    MILE_M,
    YARD_M,
    UnitSystem,
    acres,
    said_area,
    said_height,
    said_length,
    said_share,
    yards,
)

METRIC = UnitSystem.METRIC


def test_units_hang_together():
    # 1 yd = 3 ft, 1 mile = 1760 yd, 1 acre = 4840 square yards: exact by definition.
    assert pytest.approx(3 * FOOT_M) == YARD_M
    assert pytest.approx(1760 * YARD_M) == MILE_M
    assert pytest.approx(4840 * YARD_M**2) == ACRE_M2
    assert yards(YARD_M * 7) == pytest.approx(7)
    assert acres(ACRE_M2 * 3) == pytest.approx(3)


@pytest.mark.parametrize(
    ("length_m", "system", "words"),
    [
        (0.9144, UnitSystem.YARDS, "1 yard"),
        (0.0, UnitSystem.YARDS, "0 yards"),
        (1609.344, UnitSystem.YARDS, "1,760 yards"),
        (2 * 1609.344, UnitSystem.YARDS, "2.0 miles"),
        (2999.0, METRIC, "2,999 m"),
        (3000.0, METRIC, "3.0 km"),
    ],
)
def test_lengths_are_said_in_the_unit_that_fits(length_m, system, words):
    assert said_length(length_m, system) == words


def test_heights_areas_and_shares_are_said():
    assert said_height(100 * 0.3048) == "100 feet"
    assert said_height(30.4, METRIC) == "30 m"
    assert said_area(9.5 * 4046.8564224) == "9.5 acres"
    assert said_area(298 * 4046.8564224) == "298 acres"
    assert said_area(25_000.0, METRIC) == "2.5 ha"
    assert said_share(0.186) == "19 of 100"
