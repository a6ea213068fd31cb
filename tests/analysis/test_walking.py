"""Trips that follow a hand are those of a whole run, and a moved bed skips all but solves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.analysis import Workings, run, walk
from funnelfinder.errors import MarkError, Stopped
from funnelfinder.marks import MarkKind, Property
from funnelfinder.progress import Told
from tests.analysis.small import small_property


def _moved(place: Property, north_m: float) -> Property:
    bed = next(place.of_kind(MarkKind.BED))
    return place.with_mark(
        replace(bed, geometry=shapely.affinity.translate(bed.geometry, 0.0, north_m))
    )


def test_passage_is_that_of_a_whole_run() -> None:
    place, grids = small_property()
    walked = walk(place, grids, workings=Workings())
    whole = run(place, grids, n_redraws=0)
    np.testing.assert_array_equal(walked.passage, whole.passage)
    assert [(bed, food) for bed, food, _, _ in walked.demand] == [
        (pair.bed, pair.food) for pair in whole.pairs
    ]
    assert sum(share for _, _, share, _ in walked.demand) == pytest.approx(1.0)


def test_a_moved_bed_skips_all_but_solves() -> None:
    place, grids = small_property()
    work = Workings()
    before = walk(place, grids, workings=work)
    after = walk(_moved(place, 40.0), grids, workings=work)
    assert all(stage.is_skipped for stage in work.stages)
    assert not np.array_equal(before.passage, after.passage)
    fresh = walk(_moved(place, 40.0), grids, workings=Workings())
    np.testing.assert_array_equal(after.passage, fresh.passage)


def test_coarse_passage_runs_where_the_fine_does() -> None:
    place, grids = small_property()
    fine = walk(place, grids, workings=Workings())
    rough = walk(place, grids, workings=Workings(), times_coarser=2, laid=place)
    assert rough.grid.cell_m == 2 * fine.grid.cell_m
    rows, cols = np.indices(rough.grid.shape)
    at = fine.grid.nearest_cells(rough.grid.points_m(rows, cols))
    same = np.corrcoef(fine.passage[at], rough.passage.ravel())[0, 1]
    assert same > 0.85


def test_a_field_that_is_dragged_leaves_the_cover_till_it_is_let_go() -> None:
    place, grids = small_property()
    food = next(place.of_kind(MarkKind.FOOD))
    moved = place.with_mark(
        replace(food, geometry=shapely.affinity.translate(food.geometry, 0.0, -50.0))
    )
    work = Workings()
    walk(place, grids, workings=work)
    walk(moved, grids, workings=work, laid=place)
    assert all(stage.is_skipped for stage in work.stages)
    walk(moved, grids, workings=work)
    assert not any(stage.is_skipped for stage in work.stages)


def test_no_food_is_told_and_a_stop_is_heard() -> None:
    place, grids = small_property()
    food = next(place.of_kind(MarkKind.FOOD))
    with pytest.raises(MarkError, match="no food"):
        walk(place.without_mark(food.key), grids, workings=Workings())
    with pytest.raises(Stopped):
        walk(
            place,
            grids,
            workings=Workings(),
            progress=Told(lambda share, words: None, lambda: True),
        )
