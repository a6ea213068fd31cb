"""The first stages of a run are kept while only beds move."""

from __future__ import annotations

from dataclasses import replace

import shapely

from funnelfinder.analysis import Workings
from funnelfinder.analysis.weighing import laid_ground, weighed
from funnelfinder.defaults import with_setting
from funnelfinder.marks import MarkKind
from funnelfinder.progress import QUIET
from tests.analysis.small import small_property


def weigh(place, grids, work):
    ground, key = laid_ground(place, grids, work, QUIET)
    return weighed(ground, key, place, work, QUIET)


def test_a_moved_bed_keeps_costs_steps_solver_and_the_ways_to_food():
    place, grids = small_property()
    work = Workings()
    before = weigh(place, grids, work)
    bed = next(place.of_kind(MarkKind.BED))
    geometry = shapely.affinity.translate(bed.geometry, -80.0, 0.0)
    after = weigh(place.with_mark(replace(bed, geometry=geometry)), grids, work)
    assert after.surface is before.surface
    assert after.moves is before.moves
    assert after.solver is before.solver
    for one, other in zip(after.wanted.to_foods, before.wanted.to_foods, strict=True):
        assert one is other
    assert after.wanted.cost_m[0, 0] != before.wanted.cost_m[0, 0]
    assert after.wanted.cost_m[1, 0] == before.wanted.cost_m[1, 0]


def test_another_wander_keeps_the_costs_and_another_pressure_does_not():
    place, grids = small_property()
    work = Workings()
    before = weigh(place, grids, work)
    loose = replace(place, settings=with_setting(place.settings, "wander", "140"))
    after = weigh(loose, grids, work)
    assert after.surface is before.surface
    assert after.solver is not before.solver
    assert after.kappa_per_m < before.kappa_per_m
    heavy = replace(place, settings=with_setting(place.settings, "pressure", "heavy"))
    assert weigh(heavy, grids, work).surface is not before.surface
