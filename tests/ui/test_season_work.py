"""Edits of the season and of the log, one by one."""

from dataclasses import replace

import pytest

from funnelfinder.errors import SettingError
from funnelfinder.evidence import CameraLog, CameraStay
from funnelfinder.season import Allowance, Done, Visit, shipped_rules
from tests.ui.hollow import hollow
from ui import edits
from ui.panels.work_table import changed_rules
from ui.undo import Held

HELD = Held(place=hollow())
VISIT = Visit(on="2026-10-03", done=Done.OPENED, x_m=1.0, y_m=2.0, spot="1 Saddle")


def test_a_peak_comes_with_its_phase_in_one_step() -> None:
    place = edits.set_peak_breeding("11-15", "seeking").apply(HELD).place
    assert (place.peak_breeding, place.season.phase) == ("11-15", "seeking")
    assert edits.set_phase("").apply(Held(place=place)).place.season.phase == ""


def test_choices_for_the_season_are_kept_with_the_property() -> None:
    chosen = edits.choose_for_season("the scent", allowance=Allowance.NONE).apply(HELD)
    assert chosen.place.season.allowance is Allowance.NONE
    with pytest.raises(SettingError):
        edits.choose_for_season("the opening day", opening="13-40").apply(HELD)


def test_a_clock_that_is_none_is_refused() -> None:
    assert edits.set_time_zone("America/Chicago").apply(HELD).place.time_zone == "America/Chicago"
    with pytest.raises(SettingError):
        edits.set_time_zone("Mars/Olympus").apply(HELD)


def test_visits_are_written_down_and_struck_out_by_their_place_in_the_log() -> None:
    second = replace(VISIT, done=Done.SAT)
    held = edits.write_down(second).apply(edits.write_down(VISIT).apply(HELD))
    assert held.log == (VISIT, second)
    assert edits.strike_out(0, VISIT).apply(held).log == (second,)
    assert held.place is HELD.place


def test_opening_grids_keeps_log_and_cameras() -> None:
    stay = CameraStay(
        name="Cedar",
        begun="2026-10-03T12:00:00-04:00",
        ended="2026-10-20T12:00:00-04:00",
        x_m=1.0,
        y_m=2.0,
    )
    cameras = CameraLog(stays=(stay,))
    held = edits.keep_cameras(cameras, "add cameras").apply(edits.write_down(VISIT).apply(HELD))
    assert held.cameras is cameras
    grids = object()
    after = edits.take_grids(grids, held.place.cover_table).apply(held)  # type: ignore[arg-type]
    assert (after.log, after.cameras, after.grids) == ((VISIT,), cameras, grids)


def test_a_rule_is_changed_alone_and_stays_within_what_a_rule_may_be() -> None:
    rules = shipped_rules()
    name = rules[0].rule
    changed = changed_rules(rules, name, 2, "−100")
    assert changed[0].from_day == -100
    assert changed[1:] == rules[1:]
    with pytest.raises(SettingError):
        changed_rules(rules, name, 3, "−390")
    with pytest.raises(SettingError):
        changed_rules(rules, name, 5, "noon")
