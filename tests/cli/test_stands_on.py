"""What verbs of the season ask of stands is what the property has in force."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from funnelfinder.analysis import run
from funnelfinder.cli.running import Found
from funnelfinder.cli.stands_on import stands_on
from funnelfinder.season import Phase
from funnelfinder.stands import pick_by_hand
from tests.analysis import small


def test_chosen_stands_come_before_trees_found_and_the_phase_is_the_day_s(capsys):
    place, grids = small.small_property()
    findings = run(place, grids, n_redraws=0)
    first = findings.clusters[0]
    x_m, y_m = first.scrapes_m[0]
    pick = pick_by_hand(x_m, y_m - 20.0, first, name="Old oak")
    place = replace(place, peak_breeding="11-15", stands=(pick,))
    found = Found(place=place, grids=grids, findings=findings, is_current=True)
    base, stands = stands_on(found, date(2026, 11, 16))
    assert base.phase is Phase.PEAK_BREEDING
    assert [one.name for one in stands if one.cluster == first.number] == ["Old oak"]
    assert "peak breeding" in capsys.readouterr().err
