"""The air of an hour."""

from __future__ import annotations

import math
from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest

from funnelfinder.defaults import WindSettings
from funnelfinder.errors import InputError
from funnelfinder.sun import sun_day
from funnelfinder.wind import Sense, Sky, Stability, air_at, compass_deg, drift_sense

DAY = sun_day(40.0, -83.0, date(2026, 11, 10), ZoneInfo("America/New_York"))
MIN = timedelta(minutes=1)


@pytest.mark.parametrize(
    ("at", "sense"),
    [
        (DAY.sunrise, Sense.DOWN),
        (DAY.sunrise + 45 * MIN, Sense.TURNING),
        (DAY.sunrise + 120 * MIN, Sense.UP),
        (DAY.sunset - 45 * MIN, Sense.TURNING),
        (DAY.sunset, Sense.DOWN),
    ],
)
def test_air_drains_at_night_and_climbs_by_day(at, sense):
    about = {"speed_m_s": 1.0, "sky": Sky.CLEAR, "settings": WindSettings()}
    assert drift_sense(at, DAY, **about) is sense
    assert drift_sense(at, DAY, **{**about, "speed_m_s": 4.0}) is Sense.NONE
    assert drift_sense(at, DAY, **{**about, "sky": Sky.CLOUDY}) is Sense.NONE


def test_the_hunters_best_hour_counts_as_night():
    air = air_at(DAY.sunset, DAY, 0.0, from_deg=315.0, speed_m_s=2.0, settings=WindSettings())
    assert air.stability is Stability.F
    assert air.spread_deg == 10.0


def test_variable_and_calm_say_what_they_are():
    about = {"settings": WindSettings(), "sky": Sky.CLOUDY}
    variable = air_at(DAY.sunset, DAY, 0.0, from_deg=math.nan, speed_m_s=2.0, **about)
    calm = air_at(DAY.sunset, DAY, 0.0, from_deg=90.0, speed_m_s=0.3, **about)
    assert "every direction as likely" in variable.words
    assert calm.words.startswith("calm")
    assert math.isinf(calm.spread_deg)


@pytest.mark.parametrize("text", ["up", "400", ""])
def test_what_is_no_direction_is_refused(text):
    with pytest.raises(InputError, match="no wind direction"):
        compass_deg(text)
