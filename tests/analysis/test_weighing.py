"""What hangs on beds and what does not: the first stages of a run."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.analysis.weighing import laid_ground, weighed
from funnelfinder.analysis.workings import Workings
from funnelfinder.marks import MarkKind, Property
from funnelfinder.progress import QUIET
from tests import scenes
from tests.analysis.small import small_property


def _shifted(place: Property, kind: MarkKind, north_m: float) -> Property:
    mark = next(place.of_kind(kind))
    return place.with_mark(
        replace(mark, geometry=shapely.affinity.translate(mark.geometry, 0.0, north_m))
    )


def test_a_bed_changes_no_cell_and_a_field_does() -> None:
    place, grids = small_property()
    _, key = laid_ground(place, grids, Workings(), QUIET)
    _, moved_bed = laid_ground(_shifted(place, MarkKind.BED, 30.0), grids, Workings(), QUIET)
    _, moved_food = laid_ground(_shifted(place, MarkKind.FOOD, 30.0), grids, Workings(), QUIET)
    assert moved_bed == key
    assert moved_food != key


def test_food_in_the_woods_changes_no_cell() -> None:
    place, grids = scenes.scene(marks=scenes.pair_marks())
    _, key = laid_ground(place, grids, Workings(), QUIET)
    ground, moved = laid_ground(_shifted(place, MarkKind.FOOD, 30.0), grids, Workings(), QUIET)
    assert moved == key
    assert len(ground.foods) == 1


def test_beds_and_foods_are_those_of_the_whole_ground() -> None:
    place, grids = small_property()
    ground, _ = laid_ground(place, grids, Workings(), QUIET)
    whole = scenes.ground_of(place, grids)
    for mine, theirs in ((ground.beds, whole.beds), (ground.foods, whole.foods)):
        assert [one.label for one in mine] == [one.label for one in theirs]
        for one, other in zip(mine, theirs, strict=True):
            np.testing.assert_array_equal(one.cells, other.cells)
    np.testing.assert_array_equal(ground.cover, whole.cover)
    assert set(ground.notes) == set(whole.notes)


def test_a_moved_bed_keeps_the_solver() -> None:
    place, grids = small_property()
    work = Workings()
    ground, key = laid_ground(place, grids, work, QUIET)
    first = weighed(ground, key, place, work, QUIET)
    after = _shifted(place, MarkKind.BED, 30.0)
    ground, key = laid_ground(after, grids, work, QUIET)
    second = weighed(ground, key, after, work, QUIET)
    assert second.solver is first.solver
    assert second.solver_key == first.solver_key
