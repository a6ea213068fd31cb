"""Heads of draws and ditches, and what is none."""

import numpy as np
import pytest
import shapely

from funnelfinder.detectors.draw import DRAW
from funnelfinder.marks import MarkKind
from tests import scenes


def found(height=scenes.flat, **more):
    """What is found on a height function of scene coordinates."""
    place, grids = scenes.scene(height=height, **{"cell_m": 5.0, **more})
    return DRAW.find(scenes.ground_of(place, grids), place)


def hollow(x, y):
    """A hillside that falls southward with a hollow that heads at y = 400 in a wide swale."""
    depth = 0.06 * np.clip(400.0 - y, 0.0, None)
    swale = 0.02 * np.abs(x - 400.0)
    return 320.0 + 0.15 * y + swale - depth * np.exp(-(((x - 400.0) / 30.0) ** 2))


def test_the_head_of_a_hollow_is_one_draw():
    (draw,) = found(hollow)
    assert draw.kind == "draw"
    # Unsmoothed, both sides, 40 m across, stand 3.5 m above the line from y = 346 down.
    assert draw.geometry.coords[0][0] - scenes.EAST_0 == pytest.approx(400, abs=10)
    assert draw.geometry.coords[0][1] - scenes.NORTH_0 == pytest.approx(335, abs=30)
    assert draw.geometry.length == pytest.approx(30.0, abs=1.0)
    assert draw.sizes["depth_m"] >= 5.0
    assert draw.words.startswith("A draw heads here; within ")


@pytest.mark.parametrize(
    "height",
    [
        lambda x, y: 300 + 0.2 * y,
        lambda x, y: 320 + 0.15 * y - 15 * np.exp(-(((x - 400) / 30) ** 2)),
        lambda x, y: 320 + 0.15 * y + 15 * np.exp(-(((x - 400) / 30) ** 2)),
        lambda x, y: 320 + 0.15 * y + (hollow(x, y) - 320 - 0.15 * y) * 0.1,
    ],
    ids=["plane", "hollow without a head", "spur", "shallow"],
)
def test_grounds_without_a_head_have_no_draw(height):
    assert found(height) == []


def gully(x, y):
    """A sharp gully of 3.5 m that heads at y = 350 in ground that gathers water to it."""
    depth = np.clip((350.0 - y) / 20.0, 0.0, 1.0) * 3.5
    swale = 0.02 * np.abs(x - 400.0)
    return 320.0 + 0.06 * y + swale - depth * np.exp(-(((x - 400.0) / 4.0) ** 2))


def test_a_sharp_gully_is_a_ditch_head_on_fine_elevation_only():
    (ditch,) = found(gully, parts=5)
    assert ditch.kind == "ditch head"
    head = shapely.Point(scenes.EAST_0 + 400, scenes.NORTH_0 + 345)
    assert ditch.geometry.distance(head) < 25
    assert found(gully, parts=1) == []


def test_both_ends_of_a_marked_ditch_are_heads_unless_closed():
    ditch = scenes.mark(MarkKind.DITCH, scenes.line((200, 300), (500, 300)), "Ditch")
    creek = scenes.mark(MarkKind.CREEK, scenes.line((500, 0), (500, 600)), "Creek")
    both = found(marks=[ditch])
    assert [one.kind for one in both] == ["ditch head", "ditch head"]
    assert both[0].words == "The ditch ends here after 328 yards; beyond it the way is open."
    (west,) = found(marks=[ditch, creek])
    assert west.geometry.x == scenes.EAST_0 + 200


def test_a_ditch_that_leaves_the_ground_has_no_end():
    ditch = scenes.mark(MarkKind.DITCH, scenes.line((-900, 300), (1900, 300)), "Ditch")
    assert found(marks=[ditch]) == []
