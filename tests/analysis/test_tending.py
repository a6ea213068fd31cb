"""What picked spots catch together, and what a place that a hand points at would."""

from __future__ import annotations

from dataclasses import replace

import pytest

from funnelfinder.analysis import Findings, Workings, judge, run, tally
from funnelfinder.marks import Pick
from funnelfinder.scrapes import middle_m
from tests import scenes
from tests.analysis.small import small_property


@pytest.fixture(scope="module")
def findings() -> Findings:
    return run(*small_property(), n_redraws=0)


def test_all_clusters_catch_what_the_run_said_and_fewer_catch_less(findings: Findings) -> None:
    place, grids = small_property()
    counted = tally(place, grids, findings, workings=Workings())
    numbers = [cluster.number for cluster in findings.clusters]
    assert counted.share_of(numbers) == pytest.approx(findings.caught)
    assert counted.share_of([]) == 0.0
    for cluster in findings.clusters:
        assert counted.share_of([cluster.number]) == pytest.approx(cluster.share)
    assert counted.share_of(numbers[:1]) < counted.share_of(numbers[:2])


def test_a_spot_put_by_hand_is_counted_at_once(findings: Findings) -> None:
    place, grids = small_property()
    at = scenes.corner(330, 420)
    pick = Pick(x_m=float(at[0]), y_m=float(at[1]), is_by_hand=True, name="My oak")
    counted = tally(replace(place, picks=(pick,)), grids, findings, workings=Workings())
    own = counted.clusters[-1]
    assert own.is_by_hand
    assert own.name == "My oak"
    assert middle_m(own) == pytest.approx((pick.x_m, pick.y_m))
    assert own.share == pytest.approx(counted.share_of([own.number]))
    every = [one.number for one in counted.clusters]
    assert counted.share_of(every) >= counted.share_of(every[:-1])


def test_a_place_in_the_field_breaks_a_rule_and_one_in_the_gap_does_not(
    findings: Findings,
) -> None:
    place, grids = small_property()
    work = Workings()
    field = scenes.corner(710, 330)
    share, words = judge(float(field[0]), float(field[1]), place, grids, seed=1, workings=work)
    assert words
    gap = scenes.corner(545, 360)
    share, words = judge(float(gap[0]), float(gap[1]), place, grids, seed=1, workings=work)
    assert words == ""
    assert share > 0.2
