"""What a place is worth for a stand that a hand puts there."""

from __future__ import annotations

import time

import numpy as np
import pytest

from funnelfinder.catch import catch_of
from funnelfinder.stands import judge_of, judge_stand
from tests.stands import ready


def judge():
    _, findings, base = ready.found()
    return judge_of(base, findings.clusters)


def test_the_place_of_a_found_tree_breaks_no_rule_and_is_measured_the_same():
    one = judge()
    for stand in ready.stands():
        found = judge_stand(one, stand.x_m, stand.y_m, cluster=stand.cluster)
        assert found.stand.faults == ()
        assert found.stand.legs == stand.legs
        assert found.stand.beside_share == pytest.approx(stand.beside_share)
        assert found.stand.backdrop_share == stand.backdrop_share
        assert found.stand.in_range == stand.in_range
        assert "breaks" not in found.words


def test_the_catch_is_that_of_the_scrapes_it_hunts():
    _, findings, base = ready.found()
    spot = findings.clusters[0]
    found = judge_stand(judge(), *spot.camera_m)
    assert found.stand.cluster == spot.number
    reach_m = base.settings.scrapes.reach_m
    assert found.share == catch_of(np.array(spot.scrapes_m), base.drawn, reach_m)


def test_each_rule_that_a_place_breaks_is_named_with_its_miss():
    _, findings, base = ready.found()
    (x, y), number = findings.clusters[0].scrapes_m[0], findings.clusters[0].number
    near = judge_stand(judge(), x + 5.0, y, cluster=number).stand.faults
    assert any(one.startswith("5 yards from a scrape, at least 15") for one in near)
    far = judge_stand(judge(), x + 400.0, y, cluster=number).stand.faults
    assert any("at most 30 yards is asked" in one for one in far)
    bed = base.ground.beds[0].mark.geometry.centroid
    beside = judge_stand(judge(), bed.x, bed.y).stand.faults
    assert any("standoff is" in one for one in beside)
    food = base.ground.foods[0].mark.geometry.centroid
    assert any("no tree" in one for one in judge_stand(judge(), food.x, food.y).stand.faults)
    on = base.routes[0].points_m[len(base.routes[0].points_m) // 2]
    assert any("from a route" in one for one in judge_stand(judge(), *on).stand.faults)


def test_a_longer_shot_allows_a_longer_distance_and_names_more():
    _, findings, _ = ready.found()
    (x, y), number = findings.clusters[0].scrapes_m[0], findings.clusters[0].number
    bow = judge_stand(judge(), x, y + 90.0, cluster=number).stand
    gun = judge_stand(judge(), x, y + 90.0, cluster=number, shot_m=200.0).stand
    assert any("at most" in one for one in bow.faults)
    assert not any("at most" in one for one in gun.faults)
    assert gun.shot_m == 200.0
    assert "scrape A" in bow.out_of_shot
    assert gun.out_of_shot == ""
    assert len(gun.in_range) >= len(bow.in_range)


def test_without_a_spot_there_is_nothing_to_hunt():
    _, _, base = ready.found()
    assert judge_stand(judge_of(base, ()), 0.0, 0.0) is None


def test_a_pointer_is_followed():
    """A place takes less than a frame of 50 ms, the best of several."""
    one, (x, y) = judge(), judge().clusters[0].camera_m
    times = []
    for k in range(12):
        start = time.perf_counter()
        judge_stand(one, x + k, y)
        times.append(time.perf_counter() - start)
    assert min(times) < 0.05
