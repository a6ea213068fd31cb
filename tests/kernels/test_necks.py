"""Narrow places of a middle line that can be drawn."""

import numpy as np

from funnelfinder.kernels.necks import narrows


def found(widths: list[float], **more: float) -> list[int]:
    """The narrow columns of a straight middle line with these widths."""
    line = np.zeros((3, len(widths)))
    line[1] = widths
    values = {"most_m": 60.0, "ratio": 2.0, "side_m": 30.0, "longest_m": 100.0, "apart_m": 40.0}
    values |= more
    cells, _ = narrows(
        line,
        5.0,
        values["most_m"],
        values["ratio"],
        values["side_m"],
        1.3,
        values["longest_m"],
        values["apart_m"],
    )
    return [int(cell) % len(widths) for cell in cells]


def test_a_narrow_cell_between_two_wide_ones_is_found():
    assert found([100, 80, 40, 20, 45, 70, 90]) == [3]


def test_the_width_of_the_lesser_side_is_told():
    line = np.zeros((1, 7))
    line[0] = [100, 80, 40, 20, 45, 70, 60]
    assert narrows(line, 5.0, 60.0, 2.0, 30.0, 1.3, 100.0, 40.0)[1].tolist() == [70.0]


def test_a_dead_end_is_none():
    assert found([100, 80, 40, 20, 20, 20, 20]) == []


def test_cover_half_as_wide_again_is_none():
    assert found([30, 28, 25, 20, 25, 28, 30]) == []


def test_wide_cover_is_none_however_much_wider_its_sides_are():
    assert found([300, 200, 150, 100, 150, 200, 300]) == []


def test_wide_parts_beyond_reach_do_not_count():
    assert found([100, *[70] * 12, 40, *[70] * 12, 100]) == []


def test_an_even_strip_counts_as_one_neck_however_long_up_to_the_longest():
    strip = [100.0, *[20.0] * 12, 100.0]
    assert found(strip, apart_m=200.0)
    assert found([100.0, *[20.0] * 60, 100.0], apart_m=1000.0, longest_m=20.0) in ([], [1], [60])
    assert 30 not in found([100.0, *[20.0] * 60, 100.0], apart_m=0.0, longest_m=20.0)


def test_two_necks_nearer_than_apart_are_one():
    twice = [100, 40, 20, 50, 24, 40, 100]
    assert found(twice) == [2]
    assert found(twice, apart_m=5.0)[:2] == [2, 4]
