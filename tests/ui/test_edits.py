"""One command for each change."""

import pytest
import shapely

from funnelfinder.errors import MarkError, SettingError
from funnelfinder.marks import Pick
from tests.scenes import scene
from tests.ui.hollow import BOUNDARY, bed, food, hollow
from ui import edits
from ui.undo import Held

BED = bed()
HELD = Held(place=hollow(BED, food()))


def test_marks_are_added_changed_renamed_and_removed() -> None:
    held = edits.add_mark(bed(100, 100, "Laurel")).apply(HELD)
    assert [mark.name for mark in held.place.marks] == ["Alder knob", "Bean field", "Laurel"]
    held = edits.rename_mark(BED, "North knob").apply(held)
    assert held.place.marks[0].name == "North knob"
    held = edits.describe_mark(held.place.marks[0], "the use", weight=4.0).apply(held)
    assert held.place.marks[0].weight == 4.0
    assert [m.name for m in edits.remove_mark(BED).apply(held).place.marks] == [
        "Bean field",
        "Laurel",
    ]
    assert HELD.place.marks[0].name == "Alder knob"


def test_a_mark_that_cannot_be_is_refused_with_the_cores_words() -> None:
    bow = shapely.Polygon([(0, 0), (9, 9), (9, 0), (0, 9)])
    with pytest.raises(MarkError, match="crosses itself"):
        edits.reshape_mark(BED, bow, "shape").apply(HELD)


def test_settings_change_and_go_back_to_the_usual() -> None:
    held = edits.set_setting("standoff", "120 yd").apply(HELD)
    assert held.place.settings.scrapes.standoff_m == pytest.approx(120 * 0.9144)
    assert edits.reset_setting("standoff").apply(held).place.settings == HELD.place.settings
    assert edits.reset_settings().apply(held).place.settings == HELD.place.settings
    with pytest.raises(SettingError, match="out of its range"):
        edits.set_setting("standoff", "9000").apply(HELD)


def test_detectors_picks_names_boundary_and_season() -> None:
    held = edits.set_detector("saddle", is_on=False).apply(HELD)
    assert held.place.detectors_off == frozenset({"saddle"})
    assert edits.set_detector("saddle", is_on=True).apply(held).place == HELD.place
    picks = (Pick(x_m=1.0, y_m=2.0),)
    assert edits.set_picks(picks, "take the ford").apply(HELD).place.picks == picks
    assert edits.rename_property("Brome").apply(HELD).place.name == "Brome"
    assert edits.set_peak_breeding("11-14").apply(HELD).place.peak_breeding == "11-14"
    larger = shapely.MultiPolygon([BOUNDARY.buffer(50)])
    assert edits.set_boundary(larger).apply(HELD).place.boundary.equals(larger)


def test_grids_keep_costs_that_a_person_changed_while_the_legend_stays() -> None:
    place, grids = scene()
    table = place.cover_table.with_resistances({41: 1.7})
    mine = edits.set_cover_table(table).apply(Held(place=place))
    assert edits.take_grids(grids, place.cover_table).apply(mine).place.cover_table == table
    assert edits.take_grids(grids, place.cover_table).apply(mine).grids is grids


def test_the_core_round_a_bed_has_its_acres() -> None:
    # A circle of 12 acres has a radius of sqrt(12 * 4046.8564224 / pi) = 124.3 m.
    core = edits.core_round(BED, 124.33).apply(HELD).place.marks[-1]
    assert core.geometry.area / 4046.8564224 == pytest.approx(12, rel=0.01)
