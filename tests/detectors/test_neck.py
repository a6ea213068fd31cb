"""Necks of cover, and what is none."""

import numpy as np
import pytest
import shapely

from funnelfinder.detectors.neck import NECK
from funnelfinder.marks import MarkKind
from tests import scenes

OPEN, WOODS = 82, 41


def found(cover=None, **more):
    """What is found on a cover."""
    place, grids = scenes.scene(cover=cover, **{"cell_m": 5.0, **more})
    return NECK.find(scenes.ground_of(place, grids), place)


def dumb_bell(width):
    """Two round woods of 110 m joined by a strip."""

    def cover(x, y):
        ends = np.minimum(np.hypot(x - 250, y - 300), np.hypot(x - 550, y - 300)) < 110
        strip = (np.abs(y - 300) < width / 2) & (x > 250) & (x < 550)
        return np.where(ends | strip, WOODS, OPEN)

    return cover


@pytest.mark.parametrize("width", [20.0, 40.0, 60.0])
def test_the_strip_of_a_dumb_bell_is_a_neck_of_its_width(width):
    necks = found(dumb_bell(width))
    assert necks
    for neck in necks:
        # A cell of 5 m on either side, and the flare where the strip meets the round wood.
        assert neck.sizes["width_m"] == pytest.approx(width, abs=6)
        assert 150 < neck.sizes["wide_m"] <= 225
        middle = neck.geometry.centroid
        assert abs(middle.x - scenes.EAST_0 - 400) < 80
        assert middle.y - scenes.NORTH_0 == pytest.approx(300, abs=6)
    assert necks[0].words.endswith("between two openings.")


def test_an_hourglass_is_one_neck_at_its_waist():
    (neck,) = found(
        lambda x, y: np.where(np.abs(y - 300) < 30 + 0.6 * np.abs(x - 400), WOODS, OPEN)
    )
    assert neck.geometry.distance(shapely.Point(scenes.EAST_0 + 400, scenes.NORTH_0 + 300)) < 10
    assert neck.sizes["width_m"] == pytest.approx(60, abs=6)


def test_a_neck_names_the_fields_on_both_sides():
    pasture = scenes.polygon((330, 0), (470, 0), (470, 270), (330, 270))
    glade = scenes.polygon((330, 330), (470, 330), (470, 560), (330, 560))
    (neck, *_) = found(
        marks=[
            scenes.mark(MarkKind.FOOD, pasture, "the pasture", crop="clover"),
            scenes.mark(MarkKind.FOOD, glade, "the glade", crop="clover"),
        ]
    )
    assert "between the glade and the pasture." in neck.words.replace(
        "the pasture and the glade", "the glade and the pasture"
    )
    assert neck.sizes["width_m"] == pytest.approx(60, abs=6)


def test_water_narrows_cover_too():
    (neck, *_) = found(
        lambda x, y: np.where(np.abs(y - 300) < 30 + 0.6 * np.abs(x - 400), WOODS, 11)
    )
    assert neck.sizes["width_m"] == pytest.approx(60, abs=6)


@pytest.mark.parametrize(
    "cover",
    [
        lambda x, y: np.full(x.shape, WOODS),
        lambda x, y: np.full(x.shape, OPEN),
        lambda x, y: np.where(np.abs(y - 300) < 30, WOODS, OPEN),
        lambda x, y: np.where(y > 300, WOODS, OPEN),
        lambda x, y: np.where(np.abs(y - 300) < 100 + 0.6 * np.abs(x - 400), WOODS, OPEN),
        lambda x, y: np.where(np.hypot(np.abs(x - 400) - 35, y - 300) < 15, OPEN, WOODS),
        lambda x, y: np.where(np.hypot(np.abs(x - 400) - 55, y - 300) < 30, OPEN, WOODS),
    ],
    ids=["woods", "open", "strip", "edge", "wide waist", "two specks", "two glades"],
)
def test_covers_without_a_neck_have_none(cover):
    assert found(cover) == []
