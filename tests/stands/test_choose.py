"""The few stands which together leave a huntable sit on the most winds."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.defaults import StandSettings
from funnelfinder.files.wind_climate import read_wind_climate
from funnelfinder.stands import best_set, choose_set, wind_table
from tests.stands import ready


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


def test_greedy_choice_beside_the_true_best_on_a_property_under_its_wind_climate(tmp_path):
    """Trees of the small property, evening and morning, weighted by hours in a CSV file."""
    rng = np.random.default_rng(4)
    path = tmp_path / "wind.csv"
    hours = rng.choice(16, size=400, p=rng.dirichlet(np.full(16, 0.5))) * 22.5
    path.write_text("\n".join(["wind_from_deg,speed_mph", *(f"{deg},7" for deg in hours)]))
    weight = np.repeat(read_wind_climate(path).weight, 2) / 2
    _, _, base = ready.found()
    table = wind_table(base, ready.stands()[:7])
    n = len(table.stands)
    for few in (0.1, 0.3):
        huntable = table.is_huntable(StandSettings(alerted_many_share=few)).reshape(n, -1)
        found = choose_set(huntable, table.worth.reshape(n, -1), weight, 2)
        best = best_set(huntable, weight, 2)
        assert 0.9 * best.share <= found.share <= best.share + 1e-12
        assert best.share > 0
