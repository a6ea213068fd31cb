"""Options that take several values."""

from __future__ import annotations

import pytest

from funnelfinder.cli.options import repeated


@pytest.mark.parametrize(
    ("given", "made"),
    [
        ("p --cover a b --elevation c", "p --cover a --cover b --elevation c"),
        ("p --cover a --cover b", "p --cover a --cover b"),
        ("p --legend nlcd --cover a b c", "p --legend nlcd --cover a --cover b --cover c"),
        ("p --cover", "p --cover"),
        ("--cover a p", "--cover a p"),
        ("", ""),
    ],
)
def test_an_option_is_repeated_for_each_of_its_values(given, made):
    assert repeated(given.split(), ["--cover", "--elevation"]) == made.split()
