"""Hourly forecasts of the public US weather service (its JSON form, from memory)."""

from __future__ import annotations

import json
import math
from datetime import datetime

import pytest

from funnelfinder.errors import RecordError
from funnelfinder.files.forecast import hour_at, read_forecast
from funnelfinder.wind import Sky

PERIODS = [
    {
        "number": 1,
        "startTime": "2026-11-08T17:00:00-05:00",
        "endTime": "2026-11-08T18:00:00-05:00",
        "windSpeed": "5 to 10 mph",
        "windDirection": "NW",
        "shortForecast": "Partly Cloudy",
    },
    {
        "number": 2,
        "startTime": "2026-11-08T18:00:00-05:00",
        "windSpeed": "0 mph",
        "windDirection": "",
        "shortForecast": "Clear",
    },
]


def written(folder, periods):
    path = folder / "hourly.json"
    path.write_text(json.dumps({"type": "Feature", "properties": {"periods": periods}}))
    return path


def test_an_hour_has_wind_speed_and_sky(tmp_path):
    path = written(tmp_path, PERIODS)
    hours = read_forecast(path)
    hour = hour_at(hours, datetime.fromisoformat("2026-11-08T22:20:00+00:00"), str(path))
    assert hour.from_deg == 315.0
    assert hour.speed_m_s == pytest.approx(7.5 * 0.44704)
    assert hour.sky is Sky.PARTLY
    assert math.isnan(hours[1].from_deg)


def test_a_forecast_that_ends_too_soon_says_so(tmp_path):
    path = written(tmp_path, PERIODS)
    with pytest.raises(RecordError, match="does not hold 09 November"):
        hour_at(read_forecast(path), datetime.fromisoformat("2026-11-09T17:00:00-05:00"), str(path))


@pytest.mark.parametrize(
    "periods", [None, [{"startTime": "soon"}], [{"startTime": "2026-11-08T17:00:00"}], []]
)
def test_what_is_no_forecast_is_refused(tmp_path, periods):
    with pytest.raises(RecordError, match=r"hourly\.json"):
        read_forecast(written(tmp_path, periods))
