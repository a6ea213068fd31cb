"""Points as a table."""

from __future__ import annotations

import io

import pandas as pd
import pytest

from funnelfinder.files.csv_points import csv_bytes, csv_owner, csv_rows
from tests.files import points_content


@pytest.fixture(scope="module")
def data() -> bytes:
    return csv_bytes(points_content.content())


def test_the_columns_that_people_ask_for_are_there(data):
    header = data.decode("utf-8").split("\r\n")[0].split(",")
    wanted = {"name", "kind", "lon", "lat", "why", "share", "squeeze", "steadiness", "cluster"}
    assert wanted <= set(header)


def test_another_reader_finds_the_same_points(data):
    """pandas is an independent reader of CSV."""
    table = pd.read_csv(io.BytesIO(data), encoding="utf-8")
    rows = points_content.rows()
    assert list(table["lon"]) == [row["lon"] for row in rows]
    assert list(table["why"].fillna("")) == [row["why"] for row in rows]
    assert set(table["property"]) == {'Brome & "Höllow" <north>'}


def test_it_reads_back_equal(data):
    assert csv_rows(data) == points_content.rows()


def test_whose_it_is(data):
    assert csv_owner(data) == 'Brome & "Höllow" <north>'
    assert csv_owner(b"name,lon,lat\r\nA,1,2\r\n") is None


def test_a_missing_column_is_named():
    with pytest.raises(ValueError, match="'cluster'"):
        csv_rows(b"name,lon,lat\r\nA,1,2\r\n")
