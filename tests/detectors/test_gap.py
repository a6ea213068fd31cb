"""Gaps in fences, and what is none."""

import numpy as np
import pytest

from funnelfinder.detectors.gap import GAP
from funnelfinder.marks import MarkKind
from tests import scenes


def found(*marks, **more):
    """What is found with marks."""
    place, grids = scenes.scene(marks=marks, **more)
    return GAP.find(scenes.ground_of(place, grids), place)


def fence(*points, name="Fence"):
    """A fence through scene coordinates."""
    return scenes.mark(MarkKind.FENCE, scenes.line(*points), name)


def test_a_marked_gap_is_told_with_the_length_of_its_fence():
    # 390 yards are 356.6 m; the ends lie beyond the ground.
    long = fence((-300, 300), (56.616, 300))
    (gap, _) = found(long, scenes.mark(MarkKind.GAP, scenes.point(20, 303), "Gate"))
    assert gap.words == "The fence leaves one opening in 390 yards."
    assert gap.sizes["width_m"] == pytest.approx(4.0)
    assert gap.geometry.length == pytest.approx(4.0)
    assert gap.geometry.centroid.x - scenes.EAST_0 == pytest.approx(20)


def test_two_gaps_are_both_told():
    gates = [
        scenes.mark(MarkKind.GAP, scenes.point(x, 300), f"Gate {x}", width_m=8) for x in (200, 500)
    ]
    gaps = found(fence((-300, 300), (1300, 300)), *gates)
    assert [one.sizes["width_m"] for one in gaps] == pytest.approx([8.0, 8.0])
    assert "leaves 2 openings in" in gaps[0].words


def test_two_facing_ends_are_one_opening():
    (gap,) = found(fence((-300, 300), (300, 300), name="W"), fence((310, 300), (1300, 300)))
    assert gap.sizes["width_m"] == pytest.approx(10.0)
    assert gap.words == "The fence stands open here for 11 yards."


def test_the_end_of_a_fence_in_the_open_is_a_gap():
    (gap,) = found(fence((-300, 300), (400, 300)))
    assert gap.geometry.x == scenes.EAST_0 + 400
    assert gap.words == "The fence ends here; a trip can go round its end."


def test_a_fence_that_almost_closes_on_itself_has_one_opening():
    (gap,) = found(fence((300, 300), (500, 300), (500, 450), (300, 450), (300, 312)))
    assert gap.sizes["width_m"] == pytest.approx(12.0)


@pytest.mark.parametrize(
    "marks",
    [
        [],
        [fence((-300, 300), (1300, 300))],
        [fence((300, 200), (500, 200), (500, 400), (300, 400), (300, 200))],
        [fence((-300, 300), (400, 300)), fence((401, -300), (401, 900), name="B")],
        [
            fence((-300, 300), (400, 300)),
            scenes.mark(MarkKind.HOUSE, scenes.disc(405, 300, 8), "House"),
        ],
        [
            fence((-300, 300), (380, 300)),
            scenes.mark(MarkKind.WATER, scenes.disc(440, 300, 60), "Pond"),
        ],
        [scenes.mark(MarkKind.DITCH, scenes.line((200, 300), (500, 300)), "Ditch")],
    ],
    ids=["none", "through", "ring", "meets a fence", "meets a house", "meets water", "ditch"],
)
def test_closed_fences_have_no_gap(marks):
    assert found(*marks) == []


def test_a_marked_gap_between_two_ends_is_told_once():
    gaps = found(
        fence((-300, 300), (300, 300), name="W"),
        fence((304, 300), (1300, 300), name="E"),
        scenes.mark(MarkKind.GAP, scenes.point(299, 300), "Gate"),
    )
    assert len(gaps) == 1
    assert np.isfinite(gaps[0].sizes["fence_m"])
