"""Sits and their order."""

from __future__ import annotations

import math
from datetime import timedelta

import pytest

from funnelfinder.daylight import Half
from funnelfinder.defaults import StandSettings
from funnelfinder.stands import Moment, rest_factor, sit_of, tonight
from tests.stands import ready

EVENING = Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0)


def test_the_list_falls_in_worth_and_gives_reasons():
    _, _, base = ready.found()
    sits = tonight(base, ready.stands(), EVENING)
    worth = [sit.worth for sit in sits]
    assert worth == sorted(worth, reverse=True)
    for sit in sits:
        assert sit.light_low <= sit.passing.light_share <= sit.light_high
        assert sit.passing.light_share <= sit.passing.share
        assert any("legal light" in words for words in sit.why)
        assert any("cross your scent first" in words for words in sit.why)


def test_a_sit_yesterday_lowers_the_worth_and_it_comes_back():
    own = StandSettings()
    factors = [rest_factor([days], own) for days in (0, 1, 4, 30)]
    assert factors[0] == pytest.approx(1 - own.rest_loss_share)
    assert factors == sorted(factors)
    assert factors[-1] > 0.99
    assert rest_factor([1, 2], own) < rest_factor([1], own)


def test_hunted_stands_say_so():
    _, _, base = ready.found()
    stand = ready.stands()[0]
    log = {stand.cluster: [ready.ON - timedelta(days=1)]}
    sit = next(one for one in tonight(base, ready.stands(), EVENING, log=log) if one.stand is stand)
    assert any("Hunted lately" in words for words in sit.why)
    fresh = sit_of(base, stand, EVENING)
    if fresh.worth > 0:
        assert sit.worth < fresh.worth


def test_variable_wind_is_said_to_be_what_it_is():
    _, _, base = ready.found()
    moment = Moment(half=Half.EVENING, from_deg=math.nan, speed_m_s=2.0)
    sit = tonight(base, ready.stands()[:1], moment)[0]
    assert any("every direction as likely" in words for words in sit.why)
