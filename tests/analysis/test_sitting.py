"""Trips walked again for stands are those of the run."""

from __future__ import annotations

import numpy as np
import pytest

from funnelfinder.catch import catch_of
from funnelfinder.daylight import Clock, Half
from funnelfinder.scrapes import caught_share
from funnelfinder.stands.sits import passing_of, within_of
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
