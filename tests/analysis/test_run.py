"""One full run: what it finds, what it skips, what it refuses."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.analysis import Findings, Workings, run
from funnelfinder.errors import GridError, MarkError, NoWayError, Stopped
from funnelfinder.marks import MarkKind, Pick
from funnelfinder.progress import Told
from tests import scenes
from tests.analysis.small import small_property


@pytest.fixture(scope="module")
def findings() -> Findings:
    return run(*small_property(), n_redraws=0)


def test_the_gap_and_the_saddle_are_found_and_caught(findings: Findings) -> None:
    gap = scenes.corner(560, 360)
    near = [np.hypot(one.x_m - gap[0], one.y_m - gap[1]) for one in findings.pinch_points]
    assert min(near) < 30.0
    assert "gap" in findings.pinch_points[int(np.argmin(near))].kinds
    assert 0.4 < findings.caught <= 1.0
    assert findings.clusters[0].share >= max(one.gain for one in findings.clusters[1:])
    assert sum(pair.demand for pair in findings.pairs) == pytest.approx(1.0)


def test_no_spot_breaks_a_rule(findings: Findings) -> None:
    place, grids = small_property()
    ground = scenes.ground_of(place, grids)
    rules = place.settings.scrapes
    beds = shapely.union_all([bed.mark.geometry for bed in ground.beds])
    for cluster in findings.clusters:
        assert 2 <= len(cluster.scrapes_m) <= 3
        for xy in cluster.scrapes_m:
            here = shapely.Point(xy)
            assert place.boundary.contains(here)
            assert beds.distance(here) >= rules.standoff_m - 1e-6
            row, col = (int(one[0]) for one in ground.grid.nearest_cells(np.array([xy])))
            assert ground.to_woody_m[row, col] <= rules.cover_within_m
        camera = np.array(cluster.camera_m)
        away = [np.hypot(*(camera - scrape)) for scrape in cluster.scrapes_m]
        assert min(away) + 1e-6 >= 3 * 0.9144
        assert min(away) <= 5 * 0.9144
        turn = (cluster.camera_bearing_deg + 180.0) % 360.0 - 180.0
        assert abs(turn) <= 45.0


def test_passage_reads_the_same_with_the_same_seed(findings: Findings) -> None:
    again = run(*small_property(), n_redraws=0)
    np.testing.assert_array_equal(again.passage, findings.passage)
    assert again.clusters == findings.clusters
    assert again.fingerprint == findings.fingerprint


def test_nothing_changed_recomputes_nothing(findings: Findings) -> None:
    place, grids = small_property()
    assert run(place, grids, n_redraws=0, previous=findings) is findings
    assert run(place, grids, n_redraws=0, seed=2, previous=findings) is not findings


def test_a_moved_bed_recomputes_only_what_hangs_on_it() -> None:
    place, grids = small_property()
    work = Workings()
    run(place, grids, n_redraws=0, workings=work)
    bed = next(place.of_kind(MarkKind.BED))
    moved = replace(bed, geometry=shapely.affinity.translate(bed.geometry, 0.0, 40.0))
    after = run(place.with_mark(moved), grids, n_redraws=0, workings=work)
    skipped = {stage.name: stage.is_skipped for stage in after.stages}
    assert all(skipped.values())
    fresh = run(place.with_mark(moved), grids, n_redraws=0)
    np.testing.assert_array_equal(fresh.passage, after.passage)
    assert fresh.clusters == after.clusters


def test_a_cluster_by_hand_stays_and_one_turned_down_goes(findings: Findings) -> None:
    place, grids = small_property()
    first = findings.clusters[0]
    x_m, y_m = np.mean(first.scrapes_m, axis=0)
    hand = scenes.corner(330, 420)
    picks = (
        Pick(x_m=float(x_m), y_m=float(y_m), is_taken=False),
        Pick(x_m=float(hand[0]), y_m=float(hand[1]), is_by_hand=True, name="My oak"),
    )
    after = run(replace(place, picks=picks), grids, n_redraws=0)
    assert after.clusters[0].name == "My oak"
    assert after.clusters[0].is_by_hand
    far = place.settings.scrapes.clusters_apart_m / 2
    for cluster in after.clusters[1:]:
        middle = np.array(cluster.scrapes_m)
        assert np.hypot(*(middle - [x_m, y_m]).T).min() >= far - 1e-6


@pytest.mark.parametrize("kind", [MarkKind.BED, MarkKind.FOOD])
def test_a_property_without_bed_or_food_is_told_so(kind: MarkKind) -> None:
    place, grids = small_property()
    rest = tuple(mark for mark in place.marks if mark.kind is not kind)
    with pytest.raises(MarkError, match=f"no {kind.value}"):
        run(replace(place, marks=rest), grids, n_redraws=0)


def test_a_property_without_grids_is_told_so() -> None:
    place, _ = small_property()
    with pytest.raises(GridError, match="no grids yet"):
        run(place, None)


def test_a_bed_cut_off_from_all_food_is_named() -> None:
    place, grids = small_property()
    ring = shapely.LineString(scenes.disc(150, 330, 70).exterior.coords)
    fence = scenes.mark(MarkKind.FENCE, ring, "Deer fence", height_m=2.5)
    with pytest.raises(NoWayError, match="No way leads from West bed to any food"):
        run(scenes.with_marks(place, fence), grids, n_redraws=0)


def test_a_run_can_be_stopped_at_every_stage() -> None:
    place, grids = small_property()
    seen: list[str] = []
    run(place, grids, n_redraws=0, progress=Told(lambda share, words: seen.append(words)))
    assert len(seen) >= 7
    for count in range(len(seen)):
        told: list[str] = []
        stop = Told(
            lambda share, words, told=told: told.append(words),
            lambda told=told, count=count: len(told) >= count,
        )
        with pytest.raises(Stopped):
            run(place, grids, n_redraws=0, progress=stop)
