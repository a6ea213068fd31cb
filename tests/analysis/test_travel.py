"""From a ground to who walks how much."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.analysis.travel import check_marks, straightness, travel_demand
from funnelfinder.cost import cost_surface
from funnelfinder.errors import MarkError
from funnelfinder.travel_network import cost_distances, moves_of
from funnelfinder.trips import kappa_per_m
from tests import scenes


def made(**more):
    place, grids = scenes.scene(marks=scenes.pair_marks(), **more)
    ground = scenes.ground_of(place, grids)
    return place, ground, cost_surface(ground, place.settings.cost)


def test_one_pair_on_level_woods_makes_all_trips_over_the_gap_between():
    place, ground, surface = made()
    moves = moves_of(surface)
    wanted = travel_demand(ground, moves, place.settings.trips)
    assert wanted.shares.tolist() == [[1.0]]
    # Discs of 40 m radius 400 m apart: 320 m between their rims, to a cell at each end.
    assert wanted.length_m[0, 0] == pytest.approx(320.0, abs=20.0)
    assert wanted.cost_m[0, 0] >= wanted.length_m[0, 0]
    known = cost_distances(moves, [food.cells for food in ground.foods])
    again = travel_demand(ground, moves, place.settings.trips, to_foods=known)
    np.testing.assert_array_equal(again.cost_m, wanted.cost_m)
    assert again.to_foods[0] is known[0]


def test_straightness_is_that_of_the_wander_unless_cells_cannot_show_it():
    place, ground, surface = made()
    assert straightness(ground, surface, place.settings.trips) == (kappa_per_m(91.44), ())
    place, ground, surface = made(settings={"wander": "25"})
    kappa, notes = straightness(ground, surface, place.settings.trips)
    assert kappa < kappa_per_m(25 * 0.9144)
    assert "raised" in notes[0]


def test_a_ground_without_beds_is_refused():
    ground = scenes.ground_of(*scenes.scene(marks=scenes.pair_marks()[1:]))
    with pytest.raises(MarkError, match="no bed"):
        check_marks(ground)
