"""Inside corners: where an opening pokes into the cover, and what is none."""

import numpy as np
import pytest

from funnelfinder.detectors.inside_corner import INSIDE_CORNER
from funnelfinder.marks import MarkKind
from tests import scenes

OPEN, WOODS = 82, 41


def found(cover=None, **more):
    """What is found, as scene coordinates and features."""
    place, grids = scenes.scene(cover=cover, **{"cell_m": 5.0, **more})
    features = INSIDE_CORNER.find(scenes.ground_of(place, grids), place)
    return [
        (one.geometry.x - scenes.EAST_0, one.geometry.y - scenes.NORTH_0, one) for one in features
    ]


@pytest.mark.parametrize("cell_m", [5.0, 10.0])
def test_an_l_of_cover_has_one_corner_where_the_field_pokes_in(cell_m):
    ((x, y, corner),) = found(
        lambda x, y: np.where((x > 300) & (y > 250), OPEN, WOODS), cell_m=cell_m
    )
    assert (x, y) == pytest.approx((300, 250), abs=cell_m + 1)
    # A right angle of field leaves 270° to the cover (geometry); smoothing over 0.6 of a cell
    # rounds it.
    assert corner.sizes["angle_deg"] == pytest.approx(270, abs=4 + 1.5 * cell_m)
    assert corner.words == "The field pokes into the woods; a trip kept in cover bends here."


def test_a_turned_field_has_its_four_corners():
    turn = np.radians(30)

    def cover(x, y):
        u = np.cos(turn) * (x - 400) + np.sin(turn) * (y - 300)
        v = np.cos(turn) * (y - 300) - np.sin(turn) * (x - 400)
        return np.where((np.abs(u) < 130) & (np.abs(v) < 90), OPEN, WOODS)

    corners = found(cover)
    assert len(corners) == 4
    expected = [
        (400 + np.cos(turn) * u - np.sin(turn) * v, 300 + np.sin(turn) * u + np.cos(turn) * v)
        for u in (-130, 130)
        for v in (-90, 90)
    ]
    for x, y in expected:
        assert min(np.hypot(x - a, y - b) for a, b, _ in corners) < 12


def test_a_marked_field_in_the_woods_has_corners_and_a_field_of_acorns_none():
    outline = scenes.polygon((300, 200), (600, 200), (600, 420), (300, 420))
    beans = scenes.mark(MarkKind.FOOD, outline, "Beans", crop="beans")
    acorns = scenes.mark(MarkKind.FOOD, outline, "Oaks", crop="acorns")
    assert len(found(marks=[beans])) == 4
    assert found(marks=[acorns]) == []


@pytest.mark.parametrize(
    "cover",
    [
        lambda x, y: np.full(x.shape, OPEN),
        lambda x, y: np.where(y > 300, OPEN, WOODS),
        lambda x, y: np.where(x + 0.7 * y > 610, OPEN, WOODS),
        lambda x, y: np.where((x > 300) & (y > 250), WOODS, OPEN),
        lambda x, y: np.where((np.abs(x - 400) < 25) & (np.abs(y - 300) < 25), OPEN, WOODS),
        lambda x, y: np.where(np.hypot(x - 400, y - 300) < 150, OPEN, WOODS),
        lambda x, y: np.where((x > 300) & (y > 250), 11, WOODS),
    ],
    ids=["open", "edge", "slant", "outside corner", "glade", "round field", "pond"],
)
def test_covers_without_a_field_that_pokes_in_have_no_corner(cover):
    assert found(cover) == []


def test_a_ragged_edge_has_no_corner():
    rng = np.random.default_rng(8)
    assert found(lambda x, y: np.where(y + rng.uniform(-8, 8, x.shape) > 300, OPEN, WOODS)) == []
