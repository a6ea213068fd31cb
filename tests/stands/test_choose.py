"""The few stands which together leave a huntable sit on the most winds."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.stands import best_set, choose_set


def test_greedy_choice_beside_the_true_best_on_small_cases():
    """Within 1 - 1/e by the theorem of Nemhauser, Wolsey & Fisher 1978."""
    shares = []
    for number in range(40):
        rng = np.random.default_rng(number)
        huntable = rng.random((8, 16)) < 0.3
        weight = rng.dirichlet(np.ones(16))
        found = choose_set(huntable, rng.random((8, 16)), weight, 3)
        best = best_set(huntable, weight, 3)
        assert found.share <= best.share + 1e-12
        shares.append(found.share / best.share)
    assert min(shares) >= 1 - 1 / np.e
    assert np.mean(shares) > 0.95


def test_what_covers_nothing_new_is_not_chosen():
    huntable = np.array([[True, True, False], [True, False, False], [False, False, False]])
    found = choose_set(huntable, np.ones((3, 3)), np.full(3, 1 / 3), 3)
    assert found.rows == (0,)
    assert found.share == pytest.approx(2 / 3)


def test_the_climate_decides():
    huntable = np.array([[True, True, False], [False, False, True]])
    found = choose_set(huntable, np.ones((2, 3)), np.array([0.1, 0.1, 0.8]), 1)
    assert found.rows == (1,)
