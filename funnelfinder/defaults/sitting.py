"""Defaults of daylight, of scent and air, and of stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from funnelfinder.defaults.about import COMMON, JUDGEMENT, setting

_LEAVING = "judgement: no published table was found"
_LAW = "common practice, no source; local law decides"
_DUSK = "judgement after Demarais et al. 1989 (males keep to dusk and dawn outside the rut)"
_RUT_EARLIER = "judgement after Scarborough et al. 2021 (more daytime movement in rut week)"
_RUT_WIDER = "judgement after Demarais et al. 1989 (no clear dusk and dawn in and after the rut)"
_RUT_FASTER = "judgement after Webb et al. 2010 (males 307 m/h in the rut, 257 after it)"


def _earlier(minutes: float, phase: str, source: str) -> Any:
    """Return the field of how much earlier deer leave in a phase."""
    words = f"In {phase} deer leave earlier, and come home later, by this much."
    return setting(minutes, shown="min", low=-120, high=180, source=source, words=words)


def _wider(minutes: float, phase: str, source: str) -> Any:
    """Return the field of how much wider leaving times spread in a phase."""
    words = f"In {phase} the spread of leaving times is wider by this much."
    return setting(minutes, shown="min", low=0, high=180, source=source, words=words)


def _faster(factor: float, phase: str, source: str) -> Any:
    """Return the field of how many times faster deer go in a phase."""
    words = f"In {phase} the pace is so many times the usual."
    return setting(factor, shown="", low=0.5, high=3, source=source, words=words)


@dataclass(frozen=True, slots=True, kw_only=True)
class DaylightSettings:
    """When deer leave their beds, how fast they go, and what counts as legal light.

    Leaving times go by pressure; what a phase of the season changes is added to them, and nothing
    is where the phase is not known.
    """

    legal_before_min: float = setting(
        30.0, shown="min", low=-90, high=90, source=_LAW, words="Legal light begins before sunrise."
    )
    legal_after_min: float = setting(
        30.0, shown="min", low=-90, high=90, source=_LAW, words="Legal light ends after sunset."
    )
    leave_light_min: float = setting(
        -60.0,
        shown="min",
        low=-180,
        high=120,
        source=_LEAVING,
        words="Deer leave the bed after sunset by this much, under light pressure.",
    )
    leave_moderate_min: float = setting(
        -25.0,
        shown="min",
        low=-180,
        high=120,
        source=_LEAVING,
        words="Deer leave the bed after sunset by this much, under moderate pressure.",
    )
    leave_heavy_min: float = setting(
        15.0,
        shown="min",
        low=-180,
        high=120,
        source=_LEAVING,
        words="Deer leave the bed after sunset by this much, under heavy pressure.",
    )
    spread_light_min: float = setting(
        40.0, shown="min", low=1, high=180, source=_LEAVING, words="Spread of it, light pressure."
    )
    spread_moderate_min: float = setting(
        35.0, shown="min", low=1, high=180, source=_LEAVING, words="Spread of it, moderate."
    )
    spread_heavy_min: float = setting(
        35.0, shown="min", low=1, high=180, source=_LEAVING, words="Spread of it, heavy pressure."
    )
    wait_light_min: float = setting(
        0.0, shown="min", low=0, high=120, source=JUDGEMENT, words="Wait before open ground, light."
    )
    wait_moderate_min: float = setting(
        10.0, shown="min", low=0, high=120, source=JUDGEMENT, words="Wait before open, moderate."
    )
    wait_heavy_min: float = setting(
        25.0, shown="min", low=0, high=120, source=JUDGEMENT, words="Wait before open, heavy."
    )
    pace_m_min: float = setting(
        12.0,
        shown="m/min",
        low=6,
        high=25,
        source="between day-long means of Webb et al. 2010 and 25 m/min of Nelson et al. 2004",
        words="Walking pace of a trip, pauses included.",
    )
    earlier_late_summer_min: float = _earlier(0.0, "late summer", _DUSK)
    wider_late_summer_min: float = _wider(0.0, "late summer", _DUSK)
    faster_late_summer: float = _faster(1.0, "late summer", JUDGEMENT)
    earlier_early_season_min: float = _earlier(0.0, "the early season", _DUSK)
    wider_early_season_min: float = _wider(0.0, "the early season", _DUSK)
    faster_early_season: float = _faster(1.0, "the early season", JUDGEMENT)
    earlier_pre_rut_min: float = _earlier(0.0, "the pre-rut", _DUSK)
    wider_pre_rut_min: float = _wider(0.0, "the pre-rut", _DUSK)
    faster_pre_rut: float = _faster(1.0, "the pre-rut", JUDGEMENT)
    earlier_seeking_min: float = _earlier(20.0, "seeking", _RUT_EARLIER)
    wider_seeking_min: float = _wider(25.0, "seeking", _RUT_WIDER)
    faster_seeking: float = _faster(1.2, "seeking", _RUT_FASTER)
    earlier_peak_breeding_min: float = _earlier(20.0, "peak breeding", _RUT_EARLIER)
    wider_peak_breeding_min: float = _wider(25.0, "peak breeding", _RUT_WIDER)
    faster_peak_breeding: float = _faster(1.2, "peak breeding", _RUT_FASTER)
    earlier_late_min: float = _earlier(0.0, "the late season", JUDGEMENT)
    wider_late_min: float = _wider(10.0, "the late season", _RUT_WIDER)
    faster_late: float = _faster(1.0, "the late season", _RUT_FASTER)


@dataclass(frozen=True, slots=True, kw_only=True)
class WindSettings:
    """How far a hunter's scent carries, and how air drifts on slopes."""

    scent_cut_m: float = setting(
        250.0,
        shown="yd",
        low=100,
        high=500,
        source=COMMON,
        words="How far deer smell a person in a steady breeze of 3 m/s.",
    )
    nose_height_m: float = setting(
        1.0, shown="m", low=0.2, high=2, source=JUDGEMENT, words="Height of a deer's nose."
    )
    least_spread_deg: float = setting(
        10.0, shown="deg", low=1, high=60, source=JUDGEMENT, words="Wind swings at least this much."
    )
    downslope_m_s: float = setting(
        0.6,
        shown="m/s",
        low=0,
        high=3,
        source="judgement for low hills, below the 2-7 mph of NWCG PMS 437 in mountains",
        words="Cold air drains down a slope at this speed.",
    )
    upslope_m_s: float = setting(
        0.7,
        shown="m/s",
        low=0,
        high=3,
        source="judgement for low hills, below the 3-8 mph of NWCG PMS 437",
        words="Warmed air climbs a slope at this speed.",
    )
    drift_wind_m_s: float = setting(
        2.5,
        shown="m/s",
        low=0,
        high=6,
        source="judgement after Zardi & Whiteman 2013",
        words="Air drifts with the slope only in wind below this.",
    )
    drift_cloud_tenths: float = setting(
        5.0,
        shown="",
        low=0,
        high=10,
        source="judgement after Zardi & Whiteman 2013",
        words="Air drifts with the slope only with at most this much cloud.",
    )
    drift_scale_m: float = setting(
        60.0,
        shown="m",
        low=10,
        high=300,
        source=JUDGEMENT,
        words="The fall line is smoothed by it.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StandSettings:
    """Where stands may be, how they are walked to, and how they rest."""

    stand_near_m: float = setting(
        15.0, shown="yd", low=5, high=200, source=COMMON, words="No stand nearer to a scrape."
    )
    stand_far_m: float = setting(
        30.0, shown="yd", low=10, high=400, source=COMMON, words="No stand farther from a scrape."
    )
    off_route_m: float = setting(
        10.0, shown="yd", low=0, high=100, source=COMMON, words="A stand is this far off the route."
    )
    shot_range_m: float = setting(
        40.0,
        shown="yd",
        low=10,
        high=400,
        source="longest hit of 1,083 by bow, Pedersen, Indian Head 1989-2012",
        words="Range within which houses, roads and the boundary are named.",
    )
    stand_height_m: float = setting(
        18.0, shown="ft", low=0, high=30, source=COMMON, words="Height of a stand."
    )
    eye_height_m: float = setting(
        1.7, shown="m", low=0.5, high=8, source=JUDGEMENT, words="Eye of a person on foot."
    )
    antler_height_m: float = setting(
        1.5, shown="m", low=0.3, high=2.5, source=JUDGEMENT, words="Antlers of a standing buck."
    )
    sight_cover_m: float = setting(
        60.0, shown="yd", low=10, high=300, source=JUDGEMENT, words="Woods hide beyond this depth."
    )
    sight_reach_m: float = setting(
        300.0, shown="yd", low=50, high=800, source=JUDGEMENT, words="Deer see a person within it."
    )
    way_standoff_m: float = setting(
        100.0, shown="yd", low=0, high=400, source=COMMON, words="A quiet way keeps off beds by it."
    )
    way_seen_cost: float = setting(
        4.0, shown="", low=0, high=50, source=JUDGEMENT, words="Extra cost of a step in sight."
    )
    way_smelt_cost: float = setting(
        6.0,
        shown="",
        low=0,
        high=50,
        source=JUDGEMENT,
        words="Extra cost of a step upwind of deer.",
    )
    way_near_cost: float = setting(
        6.0, shown="", low=0, high=50, source=JUDGEMENT, words="Extra cost of a step beside deer."
    )
    way_trips_cost: float = setting(
        8.0, shown="", low=0, high=99, source=JUDGEMENT, words="Extra cost where all trips pass."
    )
    way_trips_share: float = setting(
        20.0,
        shown="%",
        low=0,
        high=100,
        source="judgement: as many as a sit may alert",
        words="A quiet way crosses, or lets smell a person, no more trips.",
    )
    walk_in_before_sunset_min: float = setting(
        150.0, shown="min", low=0, high=600, source=JUDGEMENT, words="In so long before sunset."
    )
    walk_in_before_light_min: float = setting(
        45.0,
        shown="min",
        low=0,
        high=300,
        source=JUDGEMENT,
        words="In so long before legal light in the morning.",
    )
    walk_out_after_light_min: float = setting(
        10.0,
        shown="min",
        low=0,
        high=300,
        source=JUDGEMENT,
        words="Out so long after legal light in the evening.",
    )
    walk_out_after_sunrise_min: float = setting(
        180.0, shown="min", low=0, high=600, source=JUDGEMENT, words="Out so long after sunrise."
    )
    walk_m_min: float = setting(
        40.0, shown="m/min", low=10, high=90, source=JUDGEMENT, words="Pace of a quiet walk."
    )
    n_stands: int = setting(
        4, shown="", low=1, high=12, source=JUDGEMENT, words="Most stands in the chosen set."
    )
    alerted_few_share: float = setting(
        5.0,
        shown="%",
        low=0,
        high=50,
        source=JUDGEMENT,
        words="Up to here few of the trips that would come are alerted.",
    )
    alerted_many_share: float = setting(
        20.0,
        shown="%",
        low=1,
        high=90,
        source=JUDGEMENT,
        words="More of the trips that would come alerted: not huntable.",
    )
    rest_loss_share: float = setting(
        40.0, shown="%", low=0, high=100, source=JUDGEMENT, words="Worth that a sit takes at once."
    )
    rest_days: float = setting(
        4.0,
        shown="",
        low=0.5,
        high=60,
        source="judgement after Sullivan et al. 2018 (does shift for some days, not at dusk)",
        words="Days in which about two thirds of the loss come back.",
    )
