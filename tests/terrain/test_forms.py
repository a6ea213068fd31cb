"""Forms by lines of sight, passes and drainage, on grounds that can be drawn."""

import numpy as np
import pytest

from funnelfinder.terrain import Form, drainage, geomorphons, passes

STEPS = np.arange(-100.0, 101.0, 5.0)
X, Y = np.meshgrid(STEPS, -STEPS)
MIDDLE = (20, 20)


def form(z: np.ndarray) -> Form:
    """The form of the middle cell."""
    return Form(int(geomorphons(z, 5.0, search_m=80.0, flat_deg=1.0)[MIDDLE]))


@pytest.mark.parametrize(
    ("z", "expected"),
    [
        (0.0 * X, Form.FLAT),
        (-0.3 * np.hypot(X, Y), Form.PEAK),
        (0.3 * np.hypot(X, Y), Form.PIT),
        (-0.3 * np.abs(Y), Form.RIDGE),
        (0.3 * np.abs(Y), Form.VALLEY),
        (0.3 * X, Form.SLOPE),
        (-0.3 * np.maximum(X, 0.0), Form.SHOULDER),
        (0.3 * np.maximum(X, 0.0), Form.FOOTSLOPE),
        (-0.4 * np.maximum(np.abs(Y), X), Form.RIDGE),
        (0.5 * X - 0.3 * np.abs(Y), Form.SPUR),
        (0.5 * X + 0.3 * np.abs(Y), Form.HOLLOW),
    ],
)
def test_the_middle_has_its_textbook_form(z, expected):
    assert form(z) == expected


def test_turning_the_ground_by_a_quarter_turns_the_forms():
    z = np.random.default_rng(5).normal(size=(40, 40)).cumsum(axis=0).cumsum(axis=1) * 0.01
    forms = geomorphons(z, 5.0, search_m=60.0, flat_deg=1.0)
    turned = geomorphons(np.rot90(z), 5.0, search_m=60.0, flat_deg=1.0)
    assert (np.rot90(forms) == turned).mean() > 0.999


def test_holes_have_no_form_and_do_not_hide_what_lies_behind():
    z = -0.3 * np.abs(Y)
    z[18, 20] = np.nan
    forms = geomorphons(z, 5.0, search_m=80.0, flat_deg=1.0)
    assert forms[18, 20] == 0
    assert forms[MIDDLE] == Form.RIDGE


def test_passes_of_a_profile_have_the_depth_of_the_lower_top():
    z = np.array([[1.0, 6.0, 3.0, 9.0, 2.0, 5.0, 1.0]])
    found = passes(z, least_depth_m=1.0)
    assert [(one.col, one.depth_m) for one in found] == [(2, 3.0), (4, 3.0)]
    assert found[0].low_top == (0, 1)
    assert found[0].high_top == (0, 3)


def test_a_shallow_pass_and_a_small_hill_are_left_out():
    z = np.array([[1.0, 6.0, 3.0, 9.0, 8.5, 9.2, 1.0]])
    assert [one.col for one in passes(z, least_depth_m=1.0)] == [2]
    assert passes(z, least_depth_m=1.0, least_cells=2) == []


def test_a_ground_of_holes_has_no_passes():
    assert passes(np.full((4, 4), np.nan), least_depth_m=1.0) == []


def test_water_of_a_valley_gathers_in_its_line_and_none_is_lost():
    z = np.abs(X) * 0.2 + (Y + 100.0) * 0.05
    receiver, area = drainage(z, 5.0)
    assert area[receiver < 0].sum() == pytest.approx(z.size * 25.0)
    assert area[-1, 20] > 0.5 * z.size * 25.0


def test_a_depression_spills_over_its_lowest_rim():
    z = 0.2 * np.abs(X) + 0.1 * Y + 100.0
    z[10:14, 18:23] -= 15.0
    receiver, area = drainage(z, 5.0)
    assert (receiver[1:-1, 1:-1] >= 0).all()
    assert area[-1, 18:23].max() > 0.5 * z.size * 25.0


def test_holes_drain_what_reaches_them():
    z = 0.1 * np.hypot(X, Y)
    z[MIDDLE] = np.nan
    receiver, area = drainage(z, 5.0)
    assert area[MIDDLE] == 0.0
    beside = ([19, 20, 20, 21], [20, 19, 21, 20])
    assert (receiver[beside] == -1).all()
    assert area[beside].sum() > 0.9 * z.size * 25.0
