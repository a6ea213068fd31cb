"""Points as rows of a table."""

from __future__ import annotations

import pytest

from funnelfinder.waypoints import COLUMNS, row_from_texts, row_of, waypoints
from tests import hand_made


def texts_of(row):
    """A row as a table of text has it."""
    return {name: "" if value is None else str(value) for name, value in row.items()}


def test_a_row_has_every_column_in_order():
    for point in waypoints(hand_made.findings()):
        assert tuple(row_of(point)) == COLUMNS


def test_a_row_comes_back_from_its_texts():
    for point in waypoints(hand_made.findings()):
        assert row_from_texts(texts_of(row_of(point))) == row_of(point)


def test_what_is_missing_is_not_known():
    row = row_from_texts({"kind": "pinch", "lon": "-81.5", "lat": "38.5"})
    assert (row["name"], row["squeeze"], row["cluster"]) == ("", None, 0)


@pytest.mark.parametrize(
    "texts",
    [
        {"kind": "feeder", "lon": "1", "lat": "2"},
        {"kind": "pinch", "lon": "west", "lat": "2"},
        {"kind": "pinch", "lon": "1", "lat": "2", "share": "many"},
    ],
)
def test_a_number_or_kind_that_is_none_is_refused(texts):
    with pytest.raises(ValueError, match=r"."):
        row_from_texts(texts)
