"""What a setting carries."""

from __future__ import annotations

import pytest

from funnelfinder.defaults import About, Pressure, shown_value
from funnelfinder.defaults.about import SHOWN_UNITS, setting


@pytest.mark.parametrize(
    ("value", "shown", "words"),
    [
        (91.44, "yd", "100 yd"),
        (4046.8564224 * 12, "ac", "12 ac"),
        (0.02, "%", "2 %"),
        (0.15, "", "0.15"),
        (Pressure.HEAVY, "", "heavy"),
    ],
)
def test_values_are_shown_in_the_unit_that_people_read(value, shown, words):
    about = About(shown=shown, low=0, high=1, source="judgement", words="It.")
    assert shown_value(value, about) == words


def test_default_and_range_are_given_in_the_shown_unit_and_kept_in_metres():
    field = setting(100.0, shown="yd", low=25, high=150, source="judgement", words="It.")
    about = field.metadata["about"]
    assert field.default == pytest.approx(91.44)
    assert (about.low, about.high) == (pytest.approx(22.86), pytest.approx(137.16))
    assert SHOWN_UNITS["m"] == 1.0
