"""The log of sits."""

from __future__ import annotations

from datetime import date

import pytest

from funnelfinder.errors import RecordError
from funnelfinder.files.sit_log import read_sits


def test_sits_are_kept_by_cluster(tmp_path):
    path = tmp_path / "sits.csv"
    path.write_text("date,stand\n2026-11-01,S2B\n2026-11-03,S2A\n2026-11-02,1\n")
    assert read_sits(path) == {
        2: [date(2026, 11, 1), date(2026, 11, 3)],
        1: [date(2026, 11, 2)],
    }


@pytest.mark.parametrize("row", ["yesterday,S1A", "2026-11-01,oak", "2026-11-01,"])
def test_a_row_that_says_nothing_is_named(tmp_path, row):
    path = tmp_path / "sits.csv"
    path.write_text(f"date,stand\n{row}\n")
    with pytest.raises(RecordError, match="line 2"):
        read_sits(path)
