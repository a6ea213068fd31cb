"""Pinch points lie where the ground squeezes trips, and nowhere else."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from funnelfinder.features import Feature
from funnelfinder.marks import MarkKind
from tests import scenes
from tests.pinch_points.pairs import MIDDLE, both_pairs, points_of

WANDERS = [40.0, 100.0]


def ridge(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A ridge across the way, 40 m high, that dips to 8 m at 30 m north of the middle."""
    across = np.exp(-(((x - MIDDLE) / 60.0) ** 2))
    return 300.0 + 40.0 * across * (1.0 - 0.8 * np.exp(-(((y - MIDDLE - 30.0) / 50.0) ** 2)))


@pytest.mark.parametrize("wander_yd", WANDERS)
def test_even_ground_has_no_pinch_point(wander_yd: float) -> None:
    assert points_of(*both_pairs(wander_yd)) == ()


@pytest.mark.parametrize("wander_yd", WANDERS)
@pytest.mark.parametrize("radius", [15.0, 30.0])
def test_a_pond_in_the_way_is_no_pinch_point(wander_yd: float, radius: float) -> None:
    pond = scenes.mark(MarkKind.WATER, scenes.disc(MIDDLE, MIDDLE, radius), "Pond")
    assert points_of(*both_pairs(wander_yd, [pond])) == ()


@pytest.mark.parametrize("wander_yd", WANDERS)
def test_a_gap_in_a_fence_is_one(wander_yd: float) -> None:
    fence = scenes.mark(MarkKind.FENCE, scenes.line((MIDDLE, 50), (MIDDLE, 850)), "Fence")
    gap = scenes.mark(MarkKind.GAP, scenes.point(MIDDLE, MIDDLE + 40), "Gap")
    (point,) = points_of(*both_pairs(wander_yd, [fence, gap]))
    assert np.hypot(*([point.x_m, point.y_m] - scenes.corner(MIDDLE, MIDDLE + 40))) < 15.0
    assert point.squeeze > 2.9
    assert point.width_m < 30.0 < point.even_width_m
    assert point.across_deg == pytest.approx(0.0, abs=20.0) or point.across_deg > 160.0


@pytest.mark.parametrize("wander_yd", WANDERS)
def test_a_saddle_is_one_with_the_saddle_as_its_reason(wander_yd: float) -> None:
    x, y = scenes.corner(MIDDLE, MIDDLE + 30)
    saddle = Feature(kind="saddle", geometry=shapely.Point(x, y), words="The ridge dips here.")
    far = Feature(kind="bench", geometry=shapely.Point(x + 200, y), words="Far away.")
    (point,) = points_of(*both_pairs(wander_yd, height=ridge), [saddle, far])
    assert point.kinds == ("saddle",)
    assert point.reasons == ("The ridge dips here.",)
    assert point.squeeze > 1.9
    assert 0.5 < point.share <= 1.0
    assert point.from_bed_m > 0
    assert point.to_food_m > 0
    assert point.detour_share == 0.25


def test_what_no_feature_explains_says_nothing() -> None:
    (point,) = points_of(*both_pairs(100.0, height=ridge))
    assert point.kinds == ()
    assert point.reasons == ()


def test_a_field_edge_is_a_reason_only_when_nothing_else_is() -> None:
    x, y = scenes.corner(MIDDLE, MIDDLE + 30)
    edge = Feature(kind="field edge", geometry=shapely.Point(x, y), words="An edge.")
    saddle = Feature(kind="saddle", geometry=shapely.Point(x + 20, y), words="A dip.")
    pairs = both_pairs(100.0, height=ridge)
    assert points_of(*pairs, [edge])[0].kinds == ("field edge",)
    assert points_of(*pairs, [edge, saddle])[0].kinds == ("saddle",)


def test_a_higher_bar_leaves_fewer() -> None:
    pairs = both_pairs(100.0, height=ridge)
    assert points_of(*pairs, squeeze_min=4.9) == ()


def test_trips_of_two_beds_squeezed_at_one_place_are_one_pinch_point() -> None:
    here, even = both_pairs(100.0, height=ridge)
    from dataclasses import replace

    halves = tuple(replace(here[0], demand=0.5) for _ in range(2))
    (point,) = points_of(halves, (even[0], even[0]))
    (alone,) = points_of(here, even)
    assert point.squeeze == pytest.approx(alone.squeeze)
    assert (point.x_m, point.y_m) == pytest.approx((alone.x_m, alone.y_m))
