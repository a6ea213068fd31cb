"""Picks are places; the clusters they mean may move a little."""

from __future__ import annotations

from funnelfinder.marks import Pick
from funnelfinder.scrapes import Cluster, ClusterKind, pick_of, taken, with_names


def _cluster(number: int, x_m: float) -> Cluster:
    return Cluster(
        number=number,
        kind=ClusterKind.PINCH,
        scrapes_m=((x_m - 10.0, 0.0), (x_m + 10.0, 0.0)),
        camera_m=(x_m, 4.0),
        camera_bearing_deg=0.0,
        share=0.2,
        gain=0.1,
        name=f"Place {number}",
    )


def test_the_nearest_pick_within_reach_is_meant() -> None:
    picks = (Pick(x_m=5.0, y_m=0.0), Pick(x_m=30.0, y_m=0.0, is_taken=False))
    assert pick_of(_cluster(1, 0.0), picks, 50.0) is picks[0]
    assert pick_of(_cluster(1, 40.0), picks, 50.0) is picks[1]
    assert pick_of(_cluster(1, 400.0), picks, 50.0) is None


def test_taken_are_those_ticked_under_the_persons_names() -> None:
    clusters = (_cluster(1, 0.0), _cluster(2, 300.0), _cluster(3, 600.0))
    picks = (
        Pick(x_m=0.0, y_m=0.0, name="Old oak"),
        Pick(x_m=300.0, y_m=0.0),
        Pick(x_m=600.0, y_m=0.0, is_taken=False),
    )
    assert [one.name for one in taken(clusters, picks, 50.0)] == ["Old oak", "Place 2"]
    assert [one.name for one in with_names(clusters, (), 50.0)] == ["Place 1", "Place 2", "Place 3"]
