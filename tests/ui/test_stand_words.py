"""What the window says of winds, sits and ways."""

import doctest
import math

import ui.stand_words
from funnelfinder.defaults import StandSettings
from ui.controls.wind_dial import Petal
from ui.stand_words import petal_of, said_shapes, said_unsure, said_way, said_wind
from ui.wind_set import MPH, Swing, Wind


def test_the_examples_hold() -> None:
    found = doctest.testmod(ui.stand_words)
    assert found.attempted > 0
    assert found.failed == 0


def test_a_wind_is_said_as_what_it_is() -> None:
    steady = Wind(from_deg=315.0, speed_m_s=7 * MPH)
    assert said_wind(steady, is_metric=False) == "NW at 7 mph"
    assert said_unsure(steady) == ""
    swings = Wind(from_deg=200.0, speed_m_s=7 * MPH, swing=Swing.SWINGS)
    assert said_wind(swings, is_metric=True) == "SSW at 11 km/h, swinging"
    everywhere = Wind(speed_m_s=5 * MPH, swing=Swing.ALL_OVER)
    assert said_wind(everywhere, is_metric=False) == "variable wind at 5 mph"
    assert "every direction is as likely" in said_unsure(everywhere)
    calm = Wind(speed_m_s=1 * MPH)
    assert said_wind(calm, is_metric=False) == "calm"
    assert "Calm" in said_unsure(calm)


def test_a_wind_that_is_all_over_has_no_direction() -> None:
    from funnelfinder.daylight import Half

    assert math.isnan(Wind(swing=Swing.ALL_OVER).moment(Half.MORNING).from_deg)
    assert Wind(swing=Swing.SWINGS).moment(Half.EVENING).spread_deg == 45.0


def test_petals_change_where_the_settings_say() -> None:
    own = StandSettings(alerted_few_share=0.1, alerted_many_share=0.3)
    few, many = own.alerted_few_share, own.alerted_many_share
    said = [petal_of(share, few, many) for share in (0.0, 0.0999, 0.1, 0.3, 0.3001, 1.0)]
    assert said == [Petal.FEW, Petal.FEW, Petal.SOME, Petal.SOME, Petal.MANY, Petal.MANY]
    assert "under 10 of 100" in said_shapes(own)


def test_no_way_is_an_answer_in_words() -> None:
    assert said_way(None, has_gate=True) == ""
