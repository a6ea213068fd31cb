"""Parcels through shared memory."""

import numpy as np

from tests.scenes import scene
from ui.workers.parcel import packed, thrown_away, unpacked


def test_a_property_and_its_grids_come_out_equal() -> None:
    place, grids = scene()
    parcel = packed((place, grids))
    assert parcel.block
    back_place, back_grids = unpacked(parcel)
    assert back_place == place
    assert (back_grids.elevation.values == grids.elevation.values).all()
    assert back_grids.cover.grid == grids.cover.grid


def test_small_things_need_no_block() -> None:
    assert unpacked(packed({"a": 1})) == {"a": 1}
    assert packed({"a": 1}).block == ""


def test_what_nobody_opens_can_be_thrown_away() -> None:
    thrown_away(packed(np.zeros(1000)))
