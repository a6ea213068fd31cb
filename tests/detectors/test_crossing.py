"""Crossings of creeks and ditches, and what is none."""

import numpy as np
import pytest

from funnelfinder.detectors.crossing import CROSSING
from funnelfinder.marks import MarkKind
from tests import scenes

CREEK = scenes.mark(MarkKind.CREEK, scenes.line((-300, 300), (1300, 300)), "Creek")


def found(*marks, height=scenes.flat, parts=1):
    """What is found with marks on 5 m cells, cut into parts."""
    place, grids = scenes.scene(marks=marks, height=height, cell_m=5.0, parts=parts)
    return CROSSING.find(scenes.ground_of(place, grids), place)


def banks(low_share, half=15.0):
    """A creek bed 3 m wide with banks of 1.6 m, lower by a share about x = 400."""

    def height(x, y):
        bank = 1.6 * np.clip((np.abs(y - 300) - 1.5) / 3.0, 0.0, 1.0)
        return 300.0 + bank * np.where(np.abs(x - 400) < half, low_share, 1.0)

    return height


def test_a_marked_crossing_is_told_with_the_length_of_its_creek():
    (one,) = found(CREEK, scenes.mark(MarkKind.CROSSING, scenes.point(400, 310), "Ford", width_m=6))
    assert one.words == "The creek has one crossing in 1,750 yards."
    assert one.sizes == {"width_m": pytest.approx(6.0), "along_m": pytest.approx(1600.0)}
    assert one.geometry.centroid.x - scenes.EAST_0 == pytest.approx(400)


def test_a_crossing_of_a_ditch_counts_too():
    ditch = scenes.mark(MarkKind.DITCH, scenes.line((100, 300), (700, 300)), "Ditch")
    (one,) = found(ditch, scenes.mark(MarkKind.CROSSING, scenes.point(300, 300), "Plank"))
    assert one.words == "The ditch has one crossing in 656 yards."


def test_low_banks_between_high_ones_are_a_crossing():
    (one,) = found(CREEK, height=banks(0.25), parts=5)
    assert one.geometry.centroid.x - scenes.EAST_0 == pytest.approx(400, abs=4)
    assert one.sizes["length_m"] == pytest.approx(30, abs=7)
    # A quarter of 1.6 m, less what smoothing over a metre takes: 1.3 feet at most.
    assert one.sizes["bank_m"] == pytest.approx(0.4, abs=0.08)
    assert one.words.startswith("The creek's banks are low here, 1.")


@pytest.mark.parametrize(
    ("low_share", "half"),
    [(1.0, 15.0), (0.25, 2000.0), (0.8, 15.0), (0.25, 100.0), (0.25, 1.0)],
    ids=["high all along", "low all along", "hardly lower", "too long", "too short"],
)
def test_other_banks_are_no_crossing(low_share, half):
    assert found(CREEK, height=banks(low_share, half), parts=5) == []


def test_coarse_elevation_shows_no_banks():
    assert found(CREEK, height=banks(0.25), parts=1) == []


def test_without_a_marked_creek_there_is_no_crossing():
    assert found(height=banks(0.25), parts=5) == []


def test_low_banks_at_a_marked_crossing_are_told_once():
    ford = scenes.mark(MarkKind.CROSSING, scenes.point(400, 300), "Ford")
    assert len(found(CREEK, ford, height=banks(0.25), parts=5)) == 1
