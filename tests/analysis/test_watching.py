"""What cameras say of a property: simulated truth comes back, and nothing is hidden."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from funnelfinder.analysis import Workings, run, watched
from funnelfinder.analysis.watching import cluster_at
from funnelfinder.evidence import CameraLog, CameraStay, Sighting
from tests.analysis import small

BEGUN = datetime(2026, 10, 1, 17, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def made():
    """The small property with its findings and workings."""
    place, grids = small.small_property()
    return place, grids, run(place, grids, n_redraws=0), Workings()


def stay(name: str, at: tuple[float, float], nights: float = 20.0) -> CameraStay:
    """A camera at a place."""
    ended = BEGUN + timedelta(days=nights)
    return CameraStay(
        name=name,
        key=name,
        begun=BEGUN.isoformat(),
        ended=ended.isoformat(),
        x_m=at[0],
        y_m=at[1],
    )


def seen(name: str, n_visits: int) -> list[Sighting]:
    """Visits two hours apart from the first evening on."""
    times = (BEGUN + timedelta(hours=2 * k) for k in range(n_visits))
    return [Sighting(stay=name, at=time.isoformat()) for time in times]


def told(made, log: CameraLog, **more: object):
    """What cameras say."""
    place, grids, findings, workings = made
    return watched(place, grids, findings, log, workings=workings, **more)


def test_without_records_the_model_stands(made):
    findings = made[2]
    found = told(made, CameraLog())
    assert found.cameras == ()
    assert [one.model_share for one in found.pairs] == pytest.approx(
        [pair.demand for pair in findings.pairs]
    )
    for pair in found.pairs:
        assert pair.share.mean == pytest.approx(pair.model_share)
        assert pair.share.low < pair.share.mean < pair.share.high
    for spot in found.spots:
        assert spot.after == spot.before
        assert spot.rank_after == spot.rank_before
    assert found.spread == found.spread_before


def test_a_busy_camera_lifts_the_pair_that_passes_it(made):
    findings = made[2]
    # Beside the bed in the south; only its own trips pass there.
    south = stay("South", (400_300.0, 4_300_130.0))
    west = stay("West", (400_250.0, 4_300_330.0))
    log = CameraLog(stays=(south, west), sightings=tuple(seen("South", 40) + seen("West", 1)))
    found = told(made, log)
    shares = {one.bed: one for one in found.pairs}
    assert shares["South bed"].share.low > shares["South bed"].model_share
    assert shares["West bed"].share.high < shares["West bed"].model_share
    assert found.spread > 0
    assert {one.number for one in found.spots} == {one.number for one in findings.clusters}
    assert [one.rank_after for one in found.spots] == sorted(one.rank_after for one in found.spots)


def test_a_camera_that_sees_deer_off_every_trip_is_told_and_left_out(made):
    far = stay("Corner", (400_880.0, 4_300_020.0))
    found = told(made, CameraLog(stays=(far,), sightings=tuple(seen("Corner", 5))))
    (camera,) = found.cameras
    assert not camera.is_counted
    assert (camera.catch, camera.cluster) == (0.0, 0)
    assert any("Corner recorded 5 visits where no trip" in note for note in found.notes)
    assert found.spread == found.spread_before


def test_the_next_camera_leaves_less_spread_and_hangs_where_none_does(made):
    findings = made[2]
    first = findings.clusters[0]
    log = CameraLog(stays=(stay("One", first.camera_m),), sightings=tuple(seen("One", 6)))
    found = told(made, log)
    assert found.cameras[0].cluster == first.number
    assert found.next_places
    assert all(0 < one.spread <= found.spread * 1.001 for one in found.next_places)
    spreads = [one.spread for one in found.next_places]
    assert spreads == sorted(spreads)
    reach_m = made[0].settings.scrapes.reach_m
    for one in found.next_places:
        assert np.hypot(one.x_m - first.camera_m[0], one.y_m - first.camera_m[1]) > reach_m
    longer = told(made, log, next_nights=60.0)
    assert longer.next_places[0].spread < found.next_places[0].spread


def test_a_camera_belongs_to_the_nearest_cluster_within_reach_of_a_walk(made):
    findings = made[2]
    for one in findings.clusters:
        assert cluster_at(findings.clusters, *one.camera_m) == one.number
    assert cluster_at(findings.clusters, 400_000.0, 4_310_000.0) == 0
    assert cluster_at((), 400_000.0, 4_300_000.0) == 0


def test_the_same_records_say_the_same_again(made):
    log = CameraLog(stays=(stay("One", made[2].clusters[0].camera_m),), sightings=())
    assert told(made, log) == told(made, log)
