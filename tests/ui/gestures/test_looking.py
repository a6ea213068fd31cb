"""Looking around, in numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ui.gestures import LookAround, Outlook
from ui.gestures.looking import FARTHEST_PX_M, NEAREST_PX_M

START = Outlook(x_m=1000.0, y_m=2000.0, px_m=2.0, width_px=800, height_px=600)


def test_the_middle_pixel_is_the_middle_of_the_map() -> None:
    assert START.to_map(400, 300) == (1000.0, 2000.0)
    assert START.to_map(0, 0) == (200.0, 2600.0)


@given(st.floats(0, 800), st.floats(0, 600), st.floats(-8, 8))
def test_the_wheel_keeps_the_place_under_the_pointer(px: float, py: float, steps: float) -> None:
    look = LookAround(START)
    before = START.to_map(px, py)
    look.wheel(px, py, steps)
    assert look.outlook.to_map(px, py) == pytest.approx(before, abs=1e-6)


def test_a_pull_moves_the_map_with_the_hand() -> None:
    look = LookAround(START)
    place = START.to_map(100, 100)
    look.press(100, 100)
    look.move(160, 70)
    assert look.outlook.to_map(160, 70) == pytest.approx(place)
    look.release()
    look.move(0, 0)
    assert look.outlook.to_map(160, 70) == pytest.approx(place)


def test_the_whole_fits_inside_its_margins() -> None:
    fitted = START.fitted((0, 0, 3000, 1000), (50, 40, 150, 60))
    for x, y in ((0, 0), (3000, 1000)):
        px, py = fitted.to_px(x, y)
        assert 50 - 1e-6 <= px <= 650 + 1e-6
        assert 40 - 1e-6 <= py <= 540 + 1e-6


def test_distance_has_its_limits() -> None:
    look = LookAround(START)
    look.step(1000)
    assert look.outlook.px_m == NEAREST_PX_M
    look.step(-1000)
    assert look.outlook.px_m == FARTHEST_PX_M


def test_an_arrow_to_the_right_shows_what_lies_east() -> None:
    look = LookAround(START)
    look.arrow(1, 0)
    assert look.outlook.x_m > START.x_m
    assert look.outlook.y_m == START.y_m
