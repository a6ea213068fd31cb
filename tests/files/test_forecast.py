"""Hourly forecasts of the public US weather service.

Names of fields as in its published description (https://api.weather.gov/openapi.json, schema
GridpointHourlyForecastPeriod) and in answers of it that others keep; the hours are invented.
"""

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


def test_a_whole_period_as_the_service_words_it(tmp_path):
    """Every field of an hour; in summer time, with an offset of its own."""
    whole = {
        "number": 1,
        "name": "",
        "startTime": "2026-10-03T18:00:00-04:00",
        "endTime": "2026-10-03T19:00:00-04:00",
        "isDaytime": True,
        "temperature": 61,
        "temperatureUnit": "F",
        "temperatureTrend": None,
        "probabilityOfPrecipitation": {"unitCode": "wmoUnit:percent", "value": 0},
        "dewpoint": {"unitCode": "wmoUnit:degC", "value": 8.3},
        "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 58},
        "windSpeed": "5 mph",
        "windDirection": "E",
        "icon": "https://api.weather.gov/icons/land/day/few?size=small",
        "shortForecast": "Mostly Sunny",
        "detailedForecast": "",
    }
    (hour,) = read_forecast(written(tmp_path, [whole]))
    assert (hour.from_deg, hour.sky) == (90.0, Sky.CLEAR)
    assert hour.start.utcoffset().total_seconds() == -4 * 3600


@pytest.mark.parametrize(
    ("given", "speed_m_s"),
    [
        ({"unitCode": "wmoUnit:km_h-1", "value": 18.0}, 5.0),
        ({"unitCode": "wmoUnit:km_h-1", "minValue": 9.0, "maxValue": 27.0, "value": None}, 5.0),
        ({"unitCode": "wmoUnit:m_s-1", "value": 5.0}, 5.0),
        ("10 km/h", 10 / 3.6),
        ("8 kt", 8 * 1852 / 3600),
    ],
)
def test_speed_as_text_or_as_a_quantity(tmp_path, given, speed_m_s):
    (hour,) = read_forecast(written(tmp_path, [{**PERIODS[0], "windSpeed": given}]))
    assert hour.speed_m_s == pytest.approx(speed_m_s)


def test_the_other_form_has_its_hours_at_the_top(tmp_path):
    path = tmp_path / "hourly.json"
    path.write_text(json.dumps({"@context": {}, "periods": PERIODS}))
    assert read_forecast(path) == read_forecast(written(tmp_path, PERIODS))


@pytest.mark.parametrize("text", ["[]", "3", '{"properties": 4}', "{}"])
def test_json_of_another_shape_is_refused(tmp_path, text):
    path = tmp_path / "other.json"
    path.write_text(text)
    with pytest.raises(RecordError, match="no hourly forecast"):
        read_forecast(path)


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
