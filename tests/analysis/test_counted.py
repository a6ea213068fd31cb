"""Spots chosen by the trips that pass in legal light."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from funnelfinder.analysis import Workings, run, tally
from funnelfinder.analysis.counted import clocks_of
from funnelfinder.analysis.run import run_fingerprint
from funnelfinder.daylight import Half
from funnelfinder.defaults import with_setting
from funnelfinder.marks import MarkKind, Property
from funnelfinder.report import report_text
from tests.analysis.small import small_property


def lit(place: Property, **settings: str) -> Property:
    """Return the property with spots chosen by legal light."""
    chosen = with_setting(place.settings, "trips-counted", "legal light")
    for name, text in settings.items():
        chosen = with_setting(chosen, name, text)
    return replace(place, settings=chosen)


@pytest.fixture(scope="module")
def both():
    """Return the small property with its findings by all trips and by those in legal light."""
    place, grids = small_property()
    dark = lit(place, pressure="heavy")
    every = replace(dark, settings=with_setting(dark.settings, "trips-counted", "all"))
    return dark, grids, run(every, grids, n_redraws=0), run(dark, grids, n_redraws=2)


def test_fewer_trips_pass_in_legal_light_and_words_say_which_are_counted(both):
    place, _, every, light = both
    assert 0 < light.caught < every.caught
    assert light.trips == light.clusters[0].trips == "trips in legal light"
    assert "trips in legal light pass within" in light.clusters[0].why
    assert "trips in legal light pass within" in report_text(place, light)
    assert every.trips == every.clusters[0].trips == "trips"


def test_the_first_spot_by_legal_light_lies_no_farther_from_the_bed(both):
    place, _, every, light = both
    bed = next(place.of_kind(MarkKind.BED)).geometry

    def far(found) -> float:
        return min(bed.distance(shapely.Point(at)) for at in found.clusters[0].scrapes_m)

    assert far(light) <= far(every) + place.settings.scrapes.candidate_step_m


def test_the_tally_counts_the_same_trips(both):
    place, grids, _, light = both
    counted = tally(place, grids, light, workings=Workings())
    assert counted.share_of([1]) == pytest.approx(light.clusters[0].share, abs=1e-9)


def test_redraws_vary_what_is_counted(both):
    *_, light = both
    assert light.clusters[0].share_low <= light.clusters[0].share <= light.clusters[0].share_high


def test_daylight_settings_and_the_phase_make_findings_out_of_date_only_where_they_count():
    place, grids = small_property()
    seeking = replace(place, season=replace(place.season, phase="seeking"))

    def mark(one: Property) -> str:
        return run_fingerprint(one, grids, seed=1, n_redraws=0)

    slower = replace(place, settings=with_setting(place.settings, "pace-m-min", "8"))
    assert mark(slower) == mark(place) == mark(seeking)
    assert len({mark(lit(one)) for one in (place, seeking, slower)}) == 3


def test_evening_and_morning_are_both_counted():
    evening, morning = clocks_of(lit(small_property()[0]))
    assert (evening.half, morning.half) == (Half.EVENING, Half.MORNING)
    assert float(evening.light_share(np.array(300.0))) > 0.5
