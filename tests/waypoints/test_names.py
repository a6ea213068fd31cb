"""Short names."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.waypoints.names import NAME_LENGTH, short_name, unique_names


@pytest.mark.parametrize(
    ("telling", "name"),
    [
        ("East saddle", "C1A-SADDLE"),
        ("Inside corner of the Bean field", "C1A-CORNER"),
        ("Fence gap", "C1A-GAP"),
        ("Ditch head", "C1A-DITCH"),
        ("Long point", "C1A-POINT"),
        ("pinch point", "C1A-PINCH"),
        ("Appointed", "C1A-PINCH"),
        ("", "C1A-PINCH"),
    ],
)
def test_the_trade_word_is_found_in_what_a_place_is_called(telling, name):
    assert short_name("C1A", "PINCH", telling=telling) == name


def test_a_long_stem_leaves_no_hyphen_at_the_end():
    assert short_name("C123456789", "PINCH") == "C123456789"
    assert short_name("C12345678", "PINCH") == "C12345678"


@given(st.lists(st.sampled_from(["A", "P01-SADDLE", "P01-SADD-2", "P01-SADDL"]), max_size=40))
def test_names_stay_unique_and_short(names):
    made = unique_names(names)
    assert len(made) == len(names) == len(set(made))
    assert all(len(name) <= NAME_LENGTH for name in made)
