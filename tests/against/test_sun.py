"""Sun times beside published tables."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from funnelfinder.sun import sun_day, sun_position

#: United States Naval Observatory tables (to the minute): latitude, longitude, date, zone, civil
#: dawn, rise, set, civil dusk; the second row is also in skyfield's own tests.
USNO = [
    (40.8939, -83.8917, date(2018, 9, 12), "Etc/GMT+4", None, "07:13", "19:50", None),
    (41.281944, -84.362778, date(2019, 11, 8), "Etc/GMT+5", "06:48", "07:17", "17:25", "17:54"),
    (39.742476, -105.1786, date(2015, 1, 2), "Etc/GMT+7", None, "07:22", "16:48", None),
    (39.742476, -105.1786, date(2015, 8, 2), "Etc/GMT+7", None, "05:00", "19:13", None),
    (32.717264, -97.441626, date(2026, 10, 1), "Etc/GMT+5", None, "07:24", "19:14", None),
    (19.8167, -155.4833, date(2003, 7, 15), "Etc/GMT+10", "05:27", "05:51", "19:04", "19:28"),
]


@pytest.mark.parametrize("row", USNO, ids=lambda row: str(row[2]))
def test_sun_times_meet_the_observatory_to_the_minute(row):
    lat, lon, on, zone, *published = row
    day = sun_day(lat, lon, on, ZoneInfo(zone))
    found = (day.dawn, day.sunrise, day.sunset, day.dusk)
    for moment, text in zip(found, published, strict=True):
        if text is None:
            continue
        hours, minutes = map(int, text.split(":"))
        wanted = datetime(on.year, on.month, on.day, hours, minutes, tzinfo=ZoneInfo(zone))
        # Half a minute of rounding, and astral's own 20 s.
        assert abs((moment - wanted).total_seconds()) <= 51


def test_the_worked_example_of_the_solar_position_algorithm():
    """Reda & Andreas 2004, NREL/TP-560-34302: zenith 50.11162, azimuth 194.34024 deg."""
    zone = ZoneInfo("Etc/GMT+7")
    at = datetime(2003, 10, 17, 12, 30, 30, tzinfo=zone)
    height, bearing = sun_position(39.742476, -105.1786, at)
    assert height == pytest.approx(90 - 50.11162, abs=0.03)
    assert bearing == pytest.approx(194.34024, abs=0.03)
    day = sun_day(39.742476, -105.1786, date(2003, 10, 17), zone)
    rise = datetime(2003, 10, 17, 6, 12, 43, tzinfo=zone)
    assert abs((day.sunrise - rise).total_seconds()) <= 21
    # The algorithm works by UTC day: its sunset, 17:20:19, is that of the local day before.
    before = sun_day(39.742476, -105.1786, date(2003, 10, 16), zone)
    set_ = datetime(2003, 10, 16, 17, 20, 19, tzinfo=zone)
    assert abs((before.sunset - set_).total_seconds()) <= 21


def test_at_our_sunsets_the_solar_position_algorithm_has_the_sun_at_the_horizon():
    """pvlib's SPA, height of the sun without refraction; 0.06 deg is 20 s there."""
    spa = pytest.importorskip("pvlib").solarposition.spa_python
    pandas = pytest.importorskip("pandas")
    zone = ZoneInfo("America/New_York")
    for month, number in ((9, 1), (10, 31), (11, 1), (12, 21)):
        on = date(2026, month, number)
        day = sun_day(40.0, -83.0, on, zone)
        assert day.sunset.date() == day.sunrise.date() == on
        found = spa(pandas.DatetimeIndex([day.sunrise, day.sunset]), 40.0, -83.0)["elevation"]
        assert found.to_numpy() == pytest.approx(-0.8333, abs=0.06)


#: The rows above by the clocks of the places themselves, and how far those are ahead of the table:
#: the fourth is printed in standard time for a summer's day.
ON_THE_CLOCK = [
    (0, "America/New_York", 0),
    (1, "America/New_York", 0),
    (2, "America/Denver", 0),
    (3, "America/Denver", 1),
    (4, "America/Chicago", 0),
    (5, "Pacific/Honolulu", 0),
]


@pytest.mark.parametrize(("number", "zone", "ahead_h"), ON_THE_CLOCK)
def test_published_times_are_met_on_the_places_own_clock(number, zone, ahead_h):
    lat, lon, on, _, _, rise, set_, _ = USNO[number]
    day = sun_day(lat, lon, on, ZoneInfo(zone))
    for moment, text in ((day.sunrise, rise), (day.sunset, set_)):
        minutes = moment.hour * 60 + moment.minute + moment.second / 60
        hours, over = map(int, text.split(":"))
        assert abs(minutes - (hours + ahead_h) * 60 - over) <= 51 / 60


@pytest.mark.parametrize(
    ("on", "offset_h"),
    [
        # 15 U.S.C. 260a: at 2 am of the second Sunday of March and the first of November.
        (date(2026, 3, 7), -5),
        (date(2026, 3, 8), -4),
        (date(2026, 10, 31), -4),
        (date(2026, 11, 1), -5),
    ],
)
def test_on_the_day_of_a_clock_change_the_sun_keeps_its_time_and_the_clock_moves(on, offset_h):
    """By the fixed clock of the zone the sun shifts by minutes, by the place's own by an hour."""
    place = sun_day(40.0, -83.0, on, ZoneInfo("America/New_York"))
    fixed = sun_day(40.0, -83.0, on, ZoneInfo("Etc/GMT+5"))
    for moment, same in ((place.sunrise, fixed.sunrise), (place.sunset, fixed.sunset)):
        assert moment == same
        assert moment.utcoffset() == timedelta(hours=offset_h)
        assert moment.date() == on
