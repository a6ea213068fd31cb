"""Stability classes; rows from Turner's rules in EPA-454/R-99-005, tables 6-4 to 6-6."""

from __future__ import annotations

import pytest

from funnelfinder.wind import net_radiation, stability_of

ROWS = [
    (2.5, 45, 3, False, False, "B"),
    (2.5, 25, 0, False, False, "C"),
    (6.5, 65, 0, False, False, "C"),
    (2.0, 0, 0, True, False, "F"),
    (4.0, 0, 8, True, False, "D"),
    (1.0, 40, 10, False, True, "D"),
    (4.0, 0, 0, True, False, "E"),
    (5.5, 0, 0, True, False, "D"),
]


@pytest.mark.parametrize("row", ROWS)
def test_class(row):
    speed, sun, cloud, night, low, letter = row
    index = net_radiation(sun, cloud, is_night=night, is_low=low)
    assert stability_of(speed, index).name == letter
