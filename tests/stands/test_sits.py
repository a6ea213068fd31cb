"""Sits and their order."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest

from funnelfinder.daylight import Half
from funnelfinder.defaults import StandSettings
from funnelfinder.stands import Moment, rest_factor, sit_of, tonight
from funnelfinder.stands.sits import air_of, in_order
from funnelfinder.wind import scent_bits
from funnelfinder.wind.scent import CELL_M
from tests.stands import ready

EVENING = Moment(half=Half.EVENING, from_deg=90.0, speed_m_s=4.0)


def test_the_list_falls_in_worth_and_gives_reasons():
    _, _, base = ready.found()
    sits = tonight(base, ready.stands(), EVENING)
    worth = [round(sit.worth, 2) for sit in sits]
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


@pytest.mark.parametrize("half", Half)
def test_alerted_by_hand_trip_by_trip(half):
    """The definition, point by point: a direction counts once any point before reach is in scent.

    Trips that come in legal light count as far as they do; others are told apart.
    """
    _, _, base = ready.found()
    stand, moment = ready.stands()[0], replace(EVENING, half=half, from_deg=200.0)
    sit, air, clock = sit_of(base, stand, moment), air_of(base, moment), base.clock(half)
    bits = scent_bits(
        (stand.x_m, stand.y_m),
        air,
        base.drift,
        base.settings.wind,
        heights_m=(base.settings.stands.stand_height_m, 0.0),
        grid_turn_deg=base.grid_turn_deg,
    )
    n, alerted, caught, n_others = bits.shape[0] // 2, 0.0, 0.0, 0
    scrapes = np.array(stand.scrapes_m)
    for number, (a, b) in enumerate(pairwise(base.walks.first)):
        points, walked = base.walks.points_m[a:b], base.walks.walked_m[a:b]
        out = base.has_stepped_out[a:b].astype(float)
        if half is Half.MORNING:
            points, walked, out = points[::-1], walked[::-1], out[::-1]
        near = np.hypot(*(points[:, None] - scrapes).T).T.min(axis=1)
        reached = np.flatnonzero(near <= base.settings.scrapes.reach_m)
        before = points[: reached[0]] if reached.size else points
        cells = np.floor((before - (stand.x_m, stand.y_m)) / CELL_M).astype(int) + n
        cells = cells[((cells >= 0) & (cells < 2 * n)).all(axis=1)]
        met = np.bitwise_or.reduce(bits[cells[:, 1], cells[:, 0]], initial=np.uint64(0))
        part = np.bitwise_count(met) / air.turns_rad.size
        if reached.size:
            light = base.walks.weight[number] * clock.light_share(walked, out)[reached[0]]
            caught += light
            alerted += light * part
        else:
            n_others += part > 0
    assert sit.passing.light_share == pytest.approx(caught)
    assert sit.alerted == pytest.approx(alerted)
    assert (sit.others > 0) == (n_others > 0)


def test_worth_is_what_comes_in_light_and_has_not_smelt_the_person():
    _, _, base = ready.found()
    for from_deg in (0.0, 90.0, 180.0, 270.0):
        sit = sit_of(base, ready.stands()[0], replace(EVENING, from_deg=from_deg))
        assert 0 <= sit.alerted <= sit.passing.light_share
        assert sit.worth == pytest.approx(sit.passing.light_share - sit.alerted)
        assert sit.alerted_part * sit.passing.light_share == pytest.approx(sit.alerted)
        assert 0 <= sit.others <= 1 - sit.passing.share + 1e-9


def test_of_sits_worth_the_same_the_one_that_alerts_fewer_others_comes_first():
    _, _, base = ready.found()
    one = sit_of(base, ready.stands()[0], EVENING)
    loud, still = replace(one, others=0.3), replace(one, others=0.1)
    better = replace(one, alerted=one.alerted - 0.05, others=0.5)
    assert in_order([loud, still, better], needs_way=False) == (better, still, loud)
    assert in_order([loud, still], needs_way=True) == (still, loud)


def test_others_are_told_from_1_of_100_on():
    _, _, base = ready.found()
    sits = tonight(base, ready.stands(), replace(EVENING, from_deg=math.nan))
    told = [any("they learn" in words for words in sit.why) for sit in sits]
    assert told == [sit.others >= 0.01 for sit in sits]
    assert any(told)
