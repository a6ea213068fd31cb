"""Defaults of the ground, of what a step costs, and of trips."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from funnelfinder.defaults.about import COMMON, JUDGEMENT, setting


class Pressure(Enum):
    """How hard the ground is hunted (Little et al. 2016, Basic Appl. Ecol. 17:360)."""

    LIGHT = "light"
    MODERATE = "moderate"
    HEAVY = "heavy"


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundSettings:
    """What ground is modelled, and on which cells."""

    surround_m: float = setting(
        800.0,
        shown="m",
        low=100,
        high=3000,
        source=JUDGEMENT,
        words="How far beyond the boundary the ground is modelled too.",
    )
    travel_cell_m: float = setting(
        0.0,
        shown="m",
        low=0,
        high=60,
        source=JUDGEMENT,
        words="Side of the cells that trips are solved on; 0 chooses 5 m, or 10 m on large ground.",
    )
    water_across_m: float = setting(
        20.0,
        shown="m",
        low=5,
        high=200,
        source=JUDGEMENT,
        words="Water at least this far across is out of the way of trips.",
    )
    cliff_deg: float = setting(
        45.0,
        shown="deg",
        low=25,
        high=80,
        source=JUDGEMENT,
        words="Ground steeper than this is out of the way of trips.",
    )
    gap_width_m: float = setting(
        4.0,
        shown="m",
        low=1,
        high=30,
        source=JUDGEMENT,
        words="Width of a gap or crossing that is marked as a point and has no width.",
    )
    gap_snap_m: float = setting(
        30.0,
        shown="m",
        low=5,
        high=100,
        source=JUDGEMENT,
        words="A gap or crossing is moved to the nearest line within this distance.",
    )
    core_ac_m2: float = setting(
        12.0,
        shown="ac",
        low=5,
        high=40,
        source=COMMON,
        words="Size of the core that is offered round a buck's bed.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSettings:
    """What a step costs, in metres of best ground."""

    pressure: Pressure = setting(
        Pressure.MODERATE,
        shown="",
        low=0,
        high=0,
        source="levels after Little et al. 2016, Basic Appl. Ecol. 17:360",
        words="How hard the ground is hunted: light (a hunter for 250 acres or more), moderate, "
        "heavy (a hunter for 75 acres or less).",
    )
    exposure_light: float = setting(
        0.5,
        shown="",
        low=0,
        high=1,
        source=JUDGEMENT,
        words="Extra cost far out in the open by day, light pressure.",
    )
    exposure_moderate: float = setting(
        1.0,
        shown="",
        low=0,
        high=2,
        source=JUDGEMENT,
        words="Extra cost far out in the open by day, moderate pressure.",
    )
    exposure_heavy: float = setting(
        2.0,
        shown="",
        low=0,
        high=4,
        source=JUDGEMENT,
        words="Extra cost far out in the open by day, heavy pressure.",
    )
    exposure_length_m: float = setting(
        40.0,
        shown="m",
        low=10,
        high=150,
        source=JUDGEMENT,
        words="How fast exposure grows with the distance from woody cover.",
    )
    night_share: float = setting(
        0.25,
        shown="",
        low=0,
        high=1,
        source=JUDGEMENT,
        words="Share of the day's exposure that is left at night.",
    )
    house_strength: float = setting(
        1.0,
        shown="",
        low=0,
        high=4,
        source="judgement; avoidance seen by Storm et al. 2007, J. Wildl. Manage. 71:1170",
        words="Extra cost at a house or built-up cell.",
    )
    road_strength: float = setting(
        0.5,
        shown="",
        low=0,
        high=4,
        source=JUDGEMENT,
        words="Extra cost on a marked road.",
    )
    people_length_m: float = setting(
        100.0,
        shown="m",
        low=30,
        high=300,
        source=COMMON,
        words="How fast the cost of people fades with distance.",
    )
    climb_kcal_kg_km: float = setting(
        5.9,
        shown="",
        low=4,
        high=8,
        source="Parker, Robbins & Hanley 1984, J. Wildl. Manage. 48:474 (V)",
        words="Energy of climbing, kcal per kg and vertical km.",
    )
    level_kcal_kg_km: float = setting(
        0.72,
        shown="",
        low=0.6,
        high=0.9,
        source="Parker, Robbins & Hanley 1984, J. Wildl. Manage. 48:474 (H at 65 kg)",
        words="Energy of level walking, kcal per kg and km.",
    )
    descent_share: float = setting(
        0.15,
        shown="",
        low=0,
        high=0.3,
        source="between r = 0 and 0.3, White & Yousef 1978, Can. J. Zool. 56:215",
        words="Share of the height's energy that walking down gives back.",
    )
    fence_m: float = setting(
        200.0,
        shown="m",
        low=50,
        high=600,
        source="judgement; order after VerCauteren et al. 2010, J. Wildl. Manage. 74:1378",
        words="Cost of crossing a fence of unknown height or up to 1.5 m.",
    )
    fence_18_m: float = setting(
        250.0,
        shown="m",
        low=100,
        high=800,
        source="judgement; order after VerCauteren et al. 2010, J. Wildl. Manage. 74:1378",
        words="Cost of crossing a fence of about 1.8 m.",
    )
    fence_21_m: float = setting(
        600.0,
        shown="m",
        low=250,
        high=2000,
        source="judgement; order after VerCauteren et al. 2010, J. Wildl. Manage. 74:1378",
        words="Cost of crossing a fence of about 2.1 m; from 2.4 m on a fence is closed.",
    )
    ditch_m: float = setting(
        50.0,
        shown="m",
        low=10,
        high=200,
        source=JUDGEMENT,
        words="Cost of crossing a ditch.",
    )
    creek_m: float = setting(
        50.0,
        shown="m",
        low=10,
        high=200,
        source=JUDGEMENT,
        words="Cost of crossing a creek up to 10 m wide.",
    )
    wide_creek_m: float = setting(
        150.0,
        shown="m",
        low=50,
        high=600,
        source=JUDGEMENT,
        words="Cost of crossing a creek wider than 10 m.",
    )
    hole_resistance: float = setting(
        1.2,
        shown="",
        low=1,
        high=2,
        source=JUDGEMENT,
        words="Cost per metre where the land cover is missing.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class TripSettings:
    """How trips run, and which are made."""

    wander_m: float = setting(
        100.0,
        shown="yd",
        low=25,
        high=150,
        source="judgement between trails and tracked does (about 145 yards, wildlifeDI data)",
        words="How far trips stray from the best way: standard deviation half way along a "
        "straight trip of 400 yards on even ground.",
    )
    demand_length_m: float = setting(
        600.0,
        shown="m",
        low=300,
        high=1200,
        source=JUDGEMENT,
        words="How fast a food source loses its pull with distance.",
    )
    too_far_m: float = setting(
        2000.0,
        shown="m",
        low=500,
        high=5000,
        source=JUDGEMENT,
        words="A bed and a food source farther apart than this make no trips.",
    )
    too_near_m: float = setting(
        50.0,
        shown="m",
        low=0,
        high=200,
        source=JUDGEMENT,
        words="A bed and a food source nearer than this, edge to edge, make no trips.",
    )
    bed_to_bed: float = setting(
        0.0,
        shown="",
        low=0,
        high=0.9,
        source=JUDGEMENT,
        words="Share of a buck's trips that go to beds of does; each phase of the season sets it.",
    )
    n_drawn: int = setting(
        4000,
        shown="",
        low=500,
        high=50000,
        source="judgement: 1.6 of 100 at worst, 95 %",
        words="How many single trips are drawn.",
    )
    thinning_m: float = setting(
        30.0,
        shown="m",
        low=10,
        high=60,
        source=JUDGEMENT,
        words="Drawn trips keep points at least this far apart.",
    )
