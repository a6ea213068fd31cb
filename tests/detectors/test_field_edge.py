"""Field edges, and what is none."""

import numpy as np
import pytest
import shapely

from funnelfinder.detectors.field_edge import FIELD_EDGE
from funnelfinder.marks import MarkKind
from tests import scenes

OUTLINE = scenes.polygon((300, 200), (600, 200), (600, 420), (300, 420))


def found(*marks, cover=None):
    """What is found with marks."""
    place, grids = scenes.scene(marks=marks, cover=cover, cell_m=5.0)
    return FIELD_EDGE.find(scenes.ground_of(place, grids), place)


def test_a_field_in_the_woods_has_its_outline_as_edge():
    (edge,) = found(scenes.mark(MarkKind.FOOD, OUTLINE, "Bean field", crop="beans"))
    assert edge.sizes["length_m"] == pytest.approx(1040, rel=0.02)
    assert edge.geometry.hausdorff_distance(shapely.boundary(OUTLINE)) < 6
    assert edge.words == "The woods run along Bean field for 1,137 yards here."


def test_only_the_side_towards_the_woods_is_an_edge():
    (edge,) = found(
        scenes.mark(MarkKind.FOOD, OUTLINE, "Bean field", crop="beans"),
        cover=lambda x, y: np.where(x < 300, 41, 71),
    )
    assert edge.sizes["length_m"] == pytest.approx(220, abs=45)
    assert edge.geometry.centroid.x - scenes.EAST_0 == pytest.approx(300, abs=3)


@pytest.mark.parametrize(
    ("marks", "cover"),
    [
        ([], None),
        ([scenes.mark(MarkKind.FOOD, OUTLINE, "Oaks", crop="acorns")], None),
        (
            [scenes.mark(MarkKind.FOOD, OUTLINE, "Beans", crop="beans")],
            lambda x, y: np.full(x.shape, 71),
        ),
        (
            [scenes.mark(MarkKind.FOOD, OUTLINE, "Beans", crop="beans")],
            lambda x, y: np.where(x < 200, 41, 71),
        ),
    ],
    ids=["no field", "acorns", "no woods", "woods far off"],
)
def test_other_grounds_have_no_field_edge(marks, cover):
    assert found(*marks, cover=cover) == []
