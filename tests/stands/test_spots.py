"""Trees for stands."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely

from funnelfinder.marks import MarkKind
from funnelfinder.stands import find_stands
from tests import scenes
from tests.stands import ready


def test_stands_keep_the_rules():
    place, findings, base = ready.found()
    own = place.settings.stands
    stands = ready.stands()
    assert stands
    routes = shapely.union_all([shapely.LineString(one.points_m) for one in findings.routes])
    for one in stands:
        far = min(np.hypot(x - one.x_m, y - one.y_m) for x, y in one.scrapes_m)
        assert own.stand_near_m <= far <= own.stand_far_m
        rows, cols = base.ground.grid.nearest_cells(np.array([[one.x_m, one.y_m]]))
        assert base.ground.is_woody[rows[0], cols[0]]
        assert place.boundary.contains(shapely.Point(one.x_m, one.y_m))
        assert routes.distance(shapely.Point(one.x_m, one.y_m)) >= own.off_route_m


def test_every_scrape_has_its_distance_and_both_bearings():
    for one in ready.stands():
        assert len(one.legs) == len(one.scrapes_m)
        for leg, (x, y) in zip(one.legs, one.scrapes_m, strict=True):
            assert abs(leg.length_m - np.hypot(x - one.x_m, y - one.y_m)) < 0.1
            # Ohio lies west of the line of no declination: magnetic bearings read higher.
            assert 5 < (leg.magnetic_deg - leg.true_deg) % 360 < 10


def test_a_house_in_the_line_of_fire_is_named():
    _, findings, base = ready.found()
    stand = ready.stands()[0]
    (x, y), (sx, sy) = (stand.x_m, stand.y_m), stand.scrapes_m[0]
    far = np.hypot(sx - x, sy - y)
    at = [(x + 30 * (sx - x) / far, y + 30 * (sy - y) / far)]
    behind = [(x - 30 * (sx - x) / far, y - 30 * (sy - y) / far)]
    marks = tuple(
        scenes.mark(MarkKind.HOUSE, shapely.Point(*one[0]).buffer(0.5), name)
        for one, name in ((at, "Cabin"), (behind, "Shed"))
    )
    again = find_stands(replace(base, marks=marks), findings.clusters)
    words = next(one for one in again if one.name == stand.name).in_range
    assert any(one.startswith("Cabin") and "LINE OF FIRE" in one for one in words)
    assert any(one.startswith("Shed") for one in words)
