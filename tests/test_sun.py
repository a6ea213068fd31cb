"""Sun times: zones, clock changes, places without a sunset."""

from __future__ import annotations

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from funnelfinder.errors import InputError, SettingError
from funnelfinder.sun import sun_day, zone_of


def test_the_clock_change_moves_sunset_by_an_hour_on_the_clock():
    zone, note = zone_of("America/New_York", -83.0)
    assert not note
    before, after = (sun_day(40.0, -83.0, date(2026, *on), zone) for on in ((10, 31), (11, 1)))
    assert before.sunset.hour - after.sunset.hour == 1


def test_a_place_without_a_sunset_is_refused_in_words():
    with pytest.raises(InputError, match="does not rise and set there on 21 June 2026"):
        sun_day(75.0, 20.0, date(2026, 6, 21), ZoneInfo("UTC"))


def test_a_zone_that_is_not_known_says_how_to_write_one():
    with pytest.raises(SettingError, match="America/New_York"):
        zone_of("Middle/Nowhere", -83.0)


def test_a_printed_table_counts_instead():
    day = sun_day(40.0, -83.0, date(2026, 11, 10), ZoneInfo("America/New_York"))
    printed = day.with_printed(time(7, 10), None)
    assert (printed.sunrise.hour, printed.sunrise.minute) == (7, 10)
    assert printed.sunset == day.sunset
