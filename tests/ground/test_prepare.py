"""From a property and its grids to its ground."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from funnelfinder.errors import MarkError
from funnelfinder.ground import Raster, prepare_ground, with_walkers, without_walkers
from funnelfinder.marks import MarkKind
from tests import scenes


def holed(grids, *, elevation=(), cover=()):
    """The grids with a hole in rows of cells."""
    heights = grids.elevation.values.copy()
    codes = grids.cover.values.copy()
    for row in elevation:
        heights[row] = np.nan
    for row in cover:
        codes[row] = 0
    return replace(
        grids,
        elevation=replace(grids.elevation, values=heights),
        cover=replace(grids.cover, values=codes),
    )


def test_fields_and_cover_marks_repaint_the_cover_in_the_order_drawn():
    marks = [
        scenes.mark(MarkKind.FOOD, scenes.disc(400, 300, 60), "Beans", crop="beans"),
        scenes.mark(MarkKind.COVER, scenes.disc(400, 300, 20), "Thicket", cover_class=52),
        scenes.mark(MarkKind.FOOD, scenes.disc(100, 100, 60), "Oaks", crop="Acorns"),
    ]
    ground = scenes.ground_of(*scenes.scene(marks=marks))

    def code(x, y):
        row, col = ground.grid.nearest_cells(scenes.corner(x, y)[None, :])
        return ground.cover[row[0], col[0]]

    assert code(405, 305) == 52
    assert code(445, 305) == 82
    assert code(105, 105) == 41
    assert code(600, 305) == 41


def test_holes_are_told_by_share_and_only_holes_in_both_are_removed():
    place, grids = scenes.scene()
    n_rows = grids.cover.grid.n_rows
    ground = prepare_ground(place, holed(grids, elevation=range(4), cover=range(2, 5)))
    assert not ground.is_removed[:2].any()
    assert ground.is_removed[2:4].all()
    assert not ground.is_removed[4:].any()
    told = " ".join(ground.notes)
    for count, words in ((2, "the elevation is missing"), (1, "the land cover is missing")):
        assert f"{100 * count / n_rows:.0f} % of {words}" in told
    assert f"{100 * 2 / n_rows:.0f} % of both grids are missing" in told


def test_wide_water_and_cliffs_are_removed_and_a_trickle_is_not():
    marks = [
        scenes.mark(MarkKind.WATER, scenes.disc(200, 300, 40), "Pond"),
        scenes.mark(MarkKind.WATER, scenes.polygon((600, 0), (606, 0), (606, 600), (600, 600))),
    ]
    place, grids = scenes.scene(
        marks=marks, height=lambda x, y: 300 + 60 * np.clip((y - 500) / 20, 0, 1)
    )
    ground = scenes.ground_of(place, grids)
    row, col = (one[0] for one in ground.grid.nearest_cells(scenes.corner(205, 305)[None, :]))
    assert ground.is_removed[row, col]
    assert ground.is_water[row, col]
    row, col = (one[0] for one in ground.grid.nearest_cells(scenes.corner(603, 305)[None, :]))
    assert not ground.is_removed[row, col]
    cliff = ground.is_removed & ~ground.is_water
    assert (ground.slope_deg[cliff] > 45).all()
    assert cliff.any()


def test_a_bed_partly_on_water_is_a_note_and_wholly_on_it_an_error():
    pond = scenes.mark(MarkKind.WATER, scenes.disc(200, 300, 50), "Pond")
    part = scenes.mark(MarkKind.BED, scenes.disc(240, 300, 40), "Shore bed")
    ground = scenes.ground_of(*scenes.scene(marks=[pond, part]))
    assert any("of Shore bed lies on water" in note for note in ground.notes)
    assert not ground.is_removed.ravel()[ground.beds[0].cells].any()
    whole = scenes.mark(MarkKind.BED, scenes.disc(200, 300, 20), "Wet bed")
    with pytest.raises(MarkError, match="bed Wet bed"):
        scenes.ground_of(*scenes.scene(marks=[pond, whole]))


def test_marks_outside_are_left_out_by_name():
    far = scenes.mark(MarkKind.BED, scenes.disc(9000, 300), "Far bed")
    road = scenes.mark(MarkKind.ROAD, scenes.line((9000, 0), (9000, 600)), "Far road")
    ground = scenes.ground_of(*scenes.scene(marks=[far, road, *scenes.pair_marks()]))
    assert [bed.label for bed in ground.beds] == ["West bed"]
    for name in ("Far bed", "Far road"):
        assert any(name in note and "left out" in note for note in ground.notes)


def test_arrays_of_the_ground_cannot_be_written():
    ground = scenes.ground_of(*scenes.scene())
    for array in (ground.elevation_m, ground.cover, ground.is_removed, ground.to_woody_m):
        assert not array.flags.writeable


def test_moving_beds_leaves_all_else_as_it_was():
    place, grids = scenes.scene(marks=scenes.pair_marks())
    still = prepare_ground(without_walkers(place), grids)
    assert still.beds == still.foods == ()
    walked, fresh = with_walkers(still, place), prepare_ground(place, grids)
    for one, other in ((walked.beds, fresh.beds), (walked.foods, fresh.foods)):
        assert [patch.label for patch in one] == [patch.label for patch in other]
        np.testing.assert_array_equal(one[0].cells, other[0].cells)
    assert walked.cover is still.cover
    np.testing.assert_array_equal(walked.cover, fresh.cover)


def test_a_raster_whose_values_do_not_fit_its_cells_is_refused():
    _, grids = scenes.scene()
    with pytest.raises(ValueError, match="do not fit"):
        Raster(grid=grids.cover.grid, values=np.zeros((2, 2)), source="x.tif", source_cell_m=1)
