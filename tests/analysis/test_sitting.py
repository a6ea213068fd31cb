"""Trips walked again for stands are those of the run."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.analysis.sitting import sitting_base
from funnelfinder.catch import catch_of
from funnelfinder.daylight import Clock, Half
from funnelfinder.scrapes import caught_share
from funnelfinder.season import Phase
from funnelfinder.stands.sits import passing_of, within_of
from tests.analysis.small import small_property
from tests.stands import ready


def test_the_trips_are_those_of_the_run():
    place, findings, base = ready.found()
    reach_m = place.settings.scrapes.reach_m
    assert caught_share(findings.clusters, base.drawn, reach_m) == findings.caught


def test_the_share_that_passes_a_stand_is_its_clusters_catch():
    """Points every 8 m against whole segments: a chord that dips in between them is missed."""
    place, _, base = ready.found()
    clock = Clock(
        half=Half.EVENING,
        bed_min=0.0,
        spread_min=30.0,
        pace_m_min=12.0,
        wait_min=0.0,
        light_min=(-1e6, 1e6),
    )
    for stand in ready.stands():
        found = passing_of(base, within_of(base, stand), clock)
        whole = catch_of(np.array(stand.scrapes_m), base.drawn, place.settings.scrapes.reach_m)
        assert found.share == pytest.approx(whole, abs=0.01)
        assert found.light_share == pytest.approx(found.share, abs=1e-9)


def test_trips_and_their_times_follow_the_phase():
    """At peak breeding bucks go to beds of does as well, and leave earlier."""
    place, findings, base = ready.found()
    _, grids = small_property()
    rut = sitting_base(place, grids, findings, base.day, phase=Phase.PEAK_BREEDING)
    assert [pair.food.mark.name for pair in base.pairs] == ["Bean field"] * 2
    goals = {pair.food.mark.name: pair.demand for pair in rut.pairs}
    assert goals["South bed (does)"] > 0.1
    assert sum(pair.demand for pair in rut.pairs) == pytest.approx(1.0)
    assert rut.clock(Half.EVENING).bed_min == base.clock(Half.EVENING).bed_min - 20
    assert base.phase is None
