"""Shares in legal light."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from funnelfinder.daylight import Clock, Half, clock_of, legal_light
from funnelfinder.defaults import DaylightSettings, Pressure
from funnelfinder.season import Phase
from funnelfinder.sun import sun_day

DAY = sun_day(40.0, -83.0, date(2026, 11, 10), ZoneInfo("America/New_York"))


def clock(half: Half, pressure: Pressure = Pressure.MODERATE, **more) -> Clock:
    return clock_of(half, DAY, DaylightSettings(), pressure, **more)


def test_legal_light_is_half_an_hour_each_way():
    begin, end = legal_light(DAY, DaylightSettings())
    assert (DAY.sunrise - begin).total_seconds() == 1800
    assert (end - DAY.sunset).total_seconds() == 1800


def test_by_hand_a_deer_at_the_edge_of_light_passes_half_of_the_times():
    """Leaves 25 min before sunset; light ends 30 min after: 55 min at 12 m/min are 660 m."""
    assert clock(Half.EVENING).light_share(np.array(660.0)) == pytest.approx(0.5, abs=1e-6)
    assert clock(Half.MORNING).light_share(np.array(660.0)) == pytest.approx(0.5, abs=1e-6)


@given(
    st.sampled_from(Half),
    st.sampled_from(Pressure),
    st.lists(st.floats(0, 3000), min_size=2, max_size=8),
)
def test_daylight_falls_with_distance_from_the_bed(half, pressure, lengths):
    """Beyond the middle of the day, evening and morning alike."""
    shares = clock(half, pressure).light_share(np.sort(lengths))
    assert (np.diff(shares) <= 1e-9).all()


@pytest.mark.parametrize("half", Half)
def test_far_before_the_edge_all_and_far_after_none(half):
    one = clock(half)
    side = 1 if half is Half.EVENING else -1
    early = replace(one, bed_min=one.bed_min - side * 200)
    late = replace(one, bed_min=one.bed_min + side * 400)
    assert early.light_share(np.array(0.0)) > 0.999
    assert late.light_share(np.array(0.0)) < 1e-6


def test_pressure_makes_it_later_and_the_rut_earlier():
    there = np.array(500.0)
    shares = [clock(Half.EVENING, one).light_share(there) for one in Pressure]
    assert shares[0] > shares[1] > shares[2]
    rut = clock(Half.EVENING, phase=Phase.SEEKING)
    assert rut.passes_min(np.array(0.0)) == clock(Half.EVENING).passes_min(np.array(0.0)) - 20
    assert rut.light_share(there) > clock(Half.EVENING).light_share(there)


def test_a_phase_moves_widens_and_quickens_as_its_settings_say():
    own = DaylightSettings(earlier_late_min=7.0, wider_late_min=11.0, faster_late=1.5)
    usual = clock_of(Half.EVENING, DAY, own, Pressure.HEAVY)
    late = clock_of(Half.EVENING, DAY, own, Pressure.HEAVY, phase=Phase.LATE)
    assert late.bed_min == usual.bed_min - 7.0
    assert late.spread_min == usual.spread_min + 11.0
    assert late.pace_m_min == usual.pace_m_min * 1.5
    home = clock_of(Half.MORNING, DAY, own, Pressure.HEAVY, phase=Phase.LATE)
    assert home.bed_min == -usual.bed_min + 7.0


@pytest.mark.parametrize("phase", Phase)
def test_every_phase_has_its_settings(phase):
    for name in ("earlier_{}_min", "wider_{}_min", "faster_{}"):
        assert hasattr(DaylightSettings(), name.format(phase.name.lower()))
    assert clock(Half.MORNING, phase=phase).light_share(np.array(0.0)) <= 1.0
