"""How many trips each pair makes, by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from funnelfinder.defaults import TripSettings
from funnelfinder.errors import NoWayError
from funnelfinder.ground import Patch
from funnelfinder.marks import MarkKind
from funnelfinder.trips import demand
from tests import scenes

CELLS = np.array([0])
SETTINGS = TripSettings()


def patch(kind: MarkKind, x: float, name: str, **more: object) -> Patch:
    return Patch(mark=scenes.mark(kind, scenes.disc(x, 0, 20), name, **more), cells=CELLS)


BEDS = [patch(MarkKind.BED, 0, "Bed"), patch(MarkKind.BED, 100, "Used bed", weight=3.0)]
FOODS = [patch(MarkKind.FOOD, 600, "Oaks"), patch(MarkKind.FOOD, 900, "Beans", weight=2.0)]


def test_shares_follow_weight_and_distance_and_every_bed_sends_its_own():
    cost = np.array([[600.0, 1200.0], [500.0, 500.0]])
    shares, notes = demand(BEDS, FOODS, cost, SETTINGS)
    # v e^(-L/600): 1 e^-1 against 2 e^-2; equal distances leave 1 against 2.
    first = 1 / (1 + 2 * math.exp(-1.0))
    np.testing.assert_allclose(
        shares, [[0.25 * first, 0.25 * (1 - first)], [0.75 / 3, 0.75 * 2 / 3]]
    )
    assert shares.sum() == pytest.approx(1.0)
    assert notes == ()


def test_pairs_too_far_too_near_or_cut_off_are_left_out_by_name():
    near = patch(MarkKind.FOOD, 60, "Near oaks")
    cost = np.array([[600.0, 2001.0, 60.0], [np.inf, 400.0, 400.0]])
    shares, notes = demand(BEDS, [*FOODS, near], cost, SETTINGS)
    np.testing.assert_allclose(shares[0], [0.25, 0.0, 0.0])
    assert shares[1, 0] == shares[1, 2] == 0.0
    assert len(notes) == 4
    for words in ("Bed to Beans", "too far", "Bed to Near oaks", "too near", "no way leads"):
        assert any(words in note for note in notes)


def test_a_bed_with_no_food_left_sends_none_and_the_others_all():
    cost = np.array([[5000.0, 5000.0], [500.0, 500.0]])
    shares, notes = demand(BEDS, FOODS, cost, SETTINGS)
    assert shares[0].sum() == 0.0
    assert shares[1].sum() == pytest.approx(1.0)
    assert any(note.startswith("Bed sends no trips") for note in notes)


@pytest.mark.parametrize(
    ("cost", "words"),
    [
        ([[np.inf, np.inf], [500.0, 500.0]], "No way leads from Bed"),
        ([[5000.0, 5000.0], [5000.0, 5000.0]], "No bed and food source"),
    ],
)
def test_no_way_at_all_is_an_error(cost, words):
    with pytest.raises(NoWayError, match=words):
        demand(BEDS, FOODS, np.array(cost), SETTINGS)
