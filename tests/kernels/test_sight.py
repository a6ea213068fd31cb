"""Lines of sight on ground that can be drawn."""

from __future__ import annotations

import numpy as np

from funnelfinder.kernels.sight import add_seen

CELL = 10.0


def seen_from(heights, woody=None, *, row=5, col=0, eye=1.5, target=1.7):
    seen = np.zeros(heights.shape, dtype=bool)
    cover = np.zeros(heights.shape, dtype=bool) if woody is None else woody
    add_seen(seen, heights, cover, row, col, CELL, eye, target, 1000.0, 50.0)
    return seen


def test_level_open_ground_is_seen_whole():
    assert seen_from(np.zeros((11, 30))).all()


def test_a_ridge_hides_what_lies_behind_it_and_shows_its_crest():
    heights = np.zeros((11, 30))
    heights[:, 10] = 5.0
    seen = seen_from(heights)
    assert seen[5, 9]
    assert seen[5, 10]
    assert not seen[5, 11:].any()


def test_a_tall_eye_sees_over_a_low_rise_where_a_low_one_does_not():
    """A 2 m rise at 100 m, target of 1.7 m at 200 m: the line from 3 m passes at 2.35 m."""
    heights = np.zeros((11, 30))
    heights[:, 10] = 2.0
    assert not seen_from(heights, eye=1.5)[5, 20]
    assert seen_from(heights, eye=3.0)[5, 20]


def test_woods_hide_beyond_their_depth():
    woody = np.zeros((11, 30), dtype=bool)
    woody[:, 5:] = True
    seen = seen_from(np.zeros((11, 30)), woody)
    assert seen[5, 9]
    assert not seen[5, 12:].any()


def test_sight_is_mutual():
    heights = np.random.default_rng(3).random((11, 30)) * 6
    one, other = (5, 2), (7, 21)
    there = seen_from(heights, row=one[0], col=one[1], eye=1.5, target=1.7)[other]
    back = seen_from(heights, row=other[0], col=other[1], eye=1.7, target=1.5)[one]
    assert there == back
