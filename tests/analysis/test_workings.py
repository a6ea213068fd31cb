"""What a run keeps for the next."""

from __future__ import annotations

import numpy as np

from funnelfinder.analysis import Workings
from funnelfinder.marks import MarkKind
from funnelfinder.progress import QUIET
from funnelfinder.trips import factor
from tests.surfaces import patch, surface_of


def test_a_stage_is_made_anew_only_when_its_fingerprint_changes():
    work, made = Workings(), []

    def stage(key: str) -> int:
        return work.stage(
            "Stage", key, lambda: made.append(key) or len(made), progress=QUIET, share=0.0
        )

    assert [stage("a"), stage("a"), stage("b"), stage("a")] == [1, 1, 2, 3]
    assert [one.is_skipped for one in work.stages] == [False, True, False, False]
    work.begin()
    assert work.stages == []
    assert stage("a") == 3


def test_only_pairs_that_changed_are_solved_and_names_are_new():
    solver = factor(surface_of(np.ones((12, 12)), cell_m=10.0), 0.02)
    beds = [patch(MarkKind.BED, [0, 1], "One"), patch(MarkKind.BED, [30], "Two")]
    foods = [patch(MarkKind.FOOD, [140, 141], "Oaks")]
    work = Workings()
    before = work.pairs(solver, "key", beds, foods, np.array([[0.5], [0.5]]))
    density = before[0].density_per_m
    renamed = [patch(MarkKind.BED, [0, 1], "Renamed"), patch(MarkKind.BED, [31], "Two")]
    after = work.pairs(solver, "key", renamed, foods, np.array([[0.25], [0.75]]))
    assert after[0].label == "Renamed to Oaks"
    assert after[0].demand == 0.25
    assert after[0].visits is before[0].visits
    assert after[0].density_per_m is density
    assert after[1].visits is not before[1].visits
    assert after[1].reach is before[1].reach
    other = work.pairs(solver, "other key", beds, foods, np.array([[0.5], [0.5]]))
    assert other[0].visits is not before[0].visits
