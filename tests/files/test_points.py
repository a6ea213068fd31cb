"""How numbers are written."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.files.points import said_number


@given(st.floats(-180, 180).map(lambda value: round(value, 7)))
def test_degrees_read_back_equal_and_without_an_exponent(value):
    """XML Schema's decimal, which GPX uses for degrees, knows no exponent."""
    text = said_number(value)
    assert float(text) == value
    assert "e" not in text


def test_what_is_not_known_is_empty():
    assert said_number(None) == ""
