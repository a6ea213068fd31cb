"""The rule, without a window."""

from datetime import date

import pytest
from pyproj import Geod, Transformer

from funnelfinder.units import UnitSystem
from ui.gestures import Key, Measure, Touch
from ui.look.said import said_bearing
from ui.measures import said_measures


def touch(x: float, y: float) -> Touch:
    return Touch(x_m=x, y_m=y, px_m=1.0)


def test_points_follow_clicks_and_the_first_again_closes() -> None:
    told = []
    rule = Measure(told=lambda points, is_closed: told.append((points, is_closed)) or "words")
    for at in ((0, 0), (100, 0), (100, 100), (3, 4)):
        rule.click(touch(*at))
    assert rule.is_closed
    assert rule.points == ((0, 0), (100, 0), (100, 100))
    assert rule.sketch.words == "words"
    rule.click(touch(500, 500))
    assert rule.points == ((500, 500),)


def test_backspace_takes_a_point_back_and_escape_puts_the_rule_away() -> None:
    left = []
    rule = Measure(told=lambda *_: "", left=lambda: left.append(1))
    rule.click(touch(0, 0))
    rule.click(touch(50, 0))
    rule.key(Key.BACKSPACE, touch(0, 0))
    assert rule.points == ((0, 0),)
    rule.key(Key.ESCAPE, touch(0, 0))
    assert left == [1]


def test_the_words_hold_length_and_both_bearings() -> None:
    # A geodesic of 914.4 m (1000 yards) due east from 40 N 83 W, set out by pyproj's Geod; the
    # declination there on that day is -7.2 by the World Magnetic Model 2025 (pygeomag).
    lon, lat, _ = Geod(ellps="WGS84").fwd(-83.0, 40.0, 90.0, 914.4)
    to_utm = Transformer.from_crs(4326, 32617, always_xy=True)
    points = (to_utm.transform(-83.0, 40.0), to_utm.transform(lon, lat))
    said = said_measures(points, 32617, UnitSystem.YARDS, said_bearing, on=date(2026, 11, 25))
    assert said == "1,000 yards\n90° true, 97° magnetic"


def test_a_closed_line_tells_acres() -> None:
    # A quarter-quarter section is 40 acres, 402.336 m square; UTM stretches it by less than 0.1 %.
    side = 402.336
    square = ((500000, 4400000), (500000 + side, 4400000), (500000 + side, 4400000 + side))
    said = said_measures(
        (*square, (500000, 4400000 + side)), 32617, UnitSystem.YARDS, said_bearing, is_closed=True
    )
    acres = float(said.split()[0])
    assert acres == pytest.approx(40, abs=0.1)
    assert "round" in said
