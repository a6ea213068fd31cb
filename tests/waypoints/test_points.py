"""Waypoints: which there are, where they lie, what they say."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from funnelfinder.grid import Grid
from funnelfinder.ground import Raster
from funnelfinder.scrapes import ClusterKind
from funnelfinder.waypoints import COMMENT_LENGTH, Waypoint, WaypointKind, waypoints, ways_in
from tests import hand_made


def by_name(points: tuple[Waypoint, ...]) -> dict[str, Waypoint]:
    return {point.name: point for point in points}


def test_every_scrape_camera_pinch_point_and_staging_spot_is_a_point():
    names = [point.name for point in waypoints(hand_made.findings())]
    assert names == [
        "C1A-SADDLE",
        "C1B-SADDLE",
        "C1C-SADDLE",
        "C1-CAM",
        "C2A-EDGE",
        "C2B-EDGE",
        "C2C-EDGE",
        "C2-CAM",
        "P01-SADDLE",
        "P02-PINCH",
        "S01-STAGE",
    ]


@pytest.mark.parametrize(
    ("name", "kind", "short"),
    [
        ("On the way", ClusterKind.TRAVEL, "C1A-TRAVEL"),
        ("Pinch point", ClusterKind.PINCH, "C1A-PINCH"),
        ("Bean field, edge", ClusterKind.FIELD_EDGE, "C1A-BEAN"),
        ("Old oak", ClusterKind.STAGING, "C1A-OLDOAK"),
        ("", ClusterKind.STAGING, "C1A-STAGE"),
    ],
)
def test_a_cluster_is_named_by_what_it_is_called(name, kind, short):
    cluster = hand_made.cluster(name=name, kind=kind, why="")
    assert waypoints(hand_made.findings(clusters=(cluster,)))[0].name == short


def test_no_findings_give_no_points():
    bare = hand_made.findings(clusters=(), pinch_points=(), staging_spots=())
    assert waypoints(bare) == ()


def test_a_point_lies_where_an_independent_formula_puts_it():
    """UTM 17N 630084.30 E, 4833438.55 N is 43.6425667 N, 79.387139 W.

    Published as 17T 630084 4833438 in a public encyclopedia (the CN Tower's article).
    """
    spot = hand_made.pinch(x_m=630084.30, y_m=4833438.55)
    (point,) = waypoints(hand_made.findings(clusters=(), staging_spots=(), pinch_points=(spot,)))
    assert point.lat_deg == pytest.approx(43.6425667, abs=1e-7)
    assert point.lon_deg == pytest.approx(-79.387139, abs=1e-7)


def test_degrees_are_finer_than_a_foot():
    for point in waypoints(hand_made.findings()):
        assert point.lon_deg == round(point.lon_deg, 7)
        assert abs(point.lon_deg * 1e6 - round(point.lon_deg * 1e6)) < 0.51


def test_what_was_not_tested_is_said_and_not_guessed():
    points = by_name(waypoints(hand_made.findings()))
    assert points["C1A-SADDLE"].steadiness == 0.9
    assert "stayed in 18 of 20" in points["C1A-SADDLE"].description
    assert points["C2A-EDGE"].steadiness is None
    assert "Steadiness: not tested" in points["C2A-EDGE"].description
    assert "Steadiness: not tested" in points["P01-SADDLE"].description


@pytest.mark.parametrize("name", ["C1A-SADDLE", "C1-CAM", "P01-SADDLE", "P02-PINCH", "S01-STAGE"])
def test_a_description_says_kind_share_why_squeeze_steadiness_and_that_it_is_a_model(name):
    point = by_name(waypoints(hand_made.findings()))[name]
    words = point.description.lower()
    assert words.startswith(point.kind.value)
    assert f"{round(100 * point.share)} of 100 trips" in words
    assert point.why.lower() in words
    assert "squeeze" in words
    assert "steadiness" in words
    assert "a model" in words


def test_a_pinch_cluster_carries_the_squeeze_of_its_pinch_point():
    points = by_name(waypoints(hand_made.findings()))
    assert points["C1A-SADDLE"].squeeze == points["P01-SADDLE"].squeeze == 2.346


def test_a_cluster_far_from_every_pinch_point_has_no_squeeze():
    far = hand_made.pinch(x_m=hand_made.EAST + 700)
    points = by_name(waypoints(hand_made.findings(pinch_points=(far,))))
    assert points["C1A-SADDLE"].squeeze is None


def test_an_unexplained_pinch_point_says_so():
    point = by_name(waypoints(hand_made.findings()))["P02-PINCH"]
    assert "no feature that we know explains it" in point.why


def test_heights_come_from_the_cell_that_a_point_lies_in():
    """The cell of (x, y) of a ramp; NaN stays unknown; beyond the grid nothing is known."""
    grid = Grid(
        epsg=32617,
        west_m=hand_made.EAST + 299,
        north_m=hand_made.NORTH + 306,
        cell_m=10,
        n_rows=1,
        n_cols=3,
    )
    ramp = np.array([[100.26, 101.0, np.nan]], dtype=np.float32)
    raster = Raster(grid=grid, values=ramp, source="ramp", source_cell_m=10)
    points = by_name(waypoints(hand_made.findings(), elevation=raster))
    assert points["C1A-SADDLE"].elevation_m == 100.3
    assert points["P01-SADDLE"].elevation_m == 101.0
    assert points["C1B-SADDLE"].elevation_m is None
    assert points["S01-STAGE"].elevation_m is None


def test_ways_in_are_points_of_their_own():
    (gate,) = ways_in(hand_made.place())
    assert gate.kind is WaypointKind.WAY_IN
    assert gate.name == "W01-NORTH"
    assert gate.why == "Chain, no lock."
    assert gate.share is None


TEXT = st.text(max_size=30)


@st.composite
def any_findings(draw):
    """Findings with any numbers of spots, any names and any numbers, known or not."""
    number = st.one_of(st.just(math.nan), st.floats(0, 1))
    clusters = tuple(
        hand_made.cluster(
            index + 1,
            kind=draw(st.sampled_from(ClusterKind)),
            name=draw(TEXT),
            why=draw(TEXT),
            steadiness=draw(number),
            share=draw(st.floats(0, 1)),
            share_low=draw(number),
            n_redraws=draw(st.integers(0, 200)),
            is_by_hand=draw(st.booleans()),
        )
        for index in range(draw(st.integers(0, 12)))
    )
    pinch_points = tuple(
        hand_made.pinch(kinds=(draw(TEXT),), reasons=(draw(TEXT),))
        for _ in range(draw(st.sampled_from([0, 1, 9, 10, 101])))
    )
    return hand_made.findings(clusters=clusters, pinch_points=pinch_points)


@settings(max_examples=30, deadline=None)
@given(any_findings())
def test_any_findings_give_short_unique_sortable_names(findings):
    points = waypoints(findings)
    names = [point.name for point in points]
    assert len({name.casefold() for name in names}) == len(names)
    for name in names:
        assert re.fullmatch(r"[A-Z0-9]([A-Z0-9-]{0,8}[A-Z0-9])?", name)
    scrapes = [point.name for point in points if point.kind is WaypointKind.SCRAPE]
    pinches = [point.name for point in points if point.kind is WaypointKind.PINCH]
    assert scrapes == sorted(scrapes)
    assert pinches == sorted(pinches)
    assert len({name[:6] for name in names}) == len(names)


@settings(max_examples=30, deadline=None)
@given(any_findings())
def test_any_words_fit_on_one_line_and_comments_are_short(findings):
    for point in waypoints(findings):
        assert point.description.isprintable()
        assert point.why.isprintable()
        assert 0 < len(point.comment) <= COMMENT_LENGTH
