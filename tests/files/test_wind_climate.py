"""Wind climates from CSV files."""

from __future__ import annotations

import pytest

from funnelfinder.errors import RecordError
from funnelfinder.files.wind_climate import read_wind_climate


def test_hours_are_counted_by_wind_and_calm_ones_apart(tmp_path):
    path = tmp_path / "wind.csv"
    path.write_text("time,wind_from_deg,speed_mph\na,315,8\nb,NW,6\nc,185,9\nd,10,0.5\n")
    found = read_wind_climate(path)
    assert found.n_hours == 4
    assert found.calm_share == 0.25
    assert found.weight[14] == pytest.approx(2 / 3)
    assert found.weight[8] == pytest.approx(1 / 3)
    assert found.weight.sum() == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("direction,gust\n1,2\n", "no column of direction or of speed"),
        ("direction,speed_m_s\nup,2\n", "line 2"),
        ("direction,speed_m_s\n90,fast\n", "line 2"),
        ("direction,speed_m_s\n90,0.1\n", "Every hour in it is calm"),
        ("", "no column"),
    ],
)
def test_what_is_no_climate_is_refused(tmp_path, text, words):
    path = tmp_path / "wind.csv"
    path.write_text(text)
    with pytest.raises(RecordError, match=words):
        read_wind_climate(path)
