"""Defaults of pinch points, scrapes and redraws."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from funnelfinder.defaults.about import COMMON, JUDGEMENT, setting


class Counted(Enum):
    """Which trips a spot is chosen by: all, or those that pass it in legal light."""

    ALL = "all"
    LEGAL_LIGHT = "legal light"

    @property
    def words(self) -> str:
        """What a share counts."""
        return "trips" if self is Counted.ALL else "trips in legal light"


@dataclass(frozen=True, slots=True, kw_only=True)
class PinchSettings:
    """What counts as a pinch point."""

    squeeze_min: float = setting(
        1.5,
        shown="",
        low=1.1,
        high=5,
        source="judgement; ponds reach 1.32, gaps 2.9 and more",
        words="How many times narrower than on even ground trips must run.",
    )
    section_step_m: float = setting(
        10.0,
        shown="m",
        low=5,
        high=50,
        source=JUDGEMENT,
        words="Soft distance between sections.",
    )
    strand_edge_share: float = setting(
        0.1,
        shown="",
        low=0.01,
        high=0.5,
        source=JUDGEMENT,
        words="A strand ends where the flow falls below this share of its peak.",
    )
    apart_m: float = setting(
        100.0,
        shown="m",
        low=30,
        high=300,
        source=JUDGEMENT,
        words="Only the tightest place within this distance along a strand counts.",
    )
    progress_low: float = setting(
        0.05,
        shown="",
        low=0,
        high=0.4,
        source=JUDGEMENT,
        words="No pinch point before this share of the way.",
    )
    progress_high: float = setting(
        0.95,
        shown="",
        low=0.6,
        high=1,
        source=JUDGEMENT,
        words="No pinch point after this share of the way.",
    )
    share_min: float = setting(
        0.1,
        shown="",
        low=0.02,
        high=0.9,
        source=JUDGEMENT,
        words="Share of a pair's trips that a pinch point must hold.",
    )
    explained_within_m: float = setting(
        60.0,
        shown="m",
        low=10,
        high=120,
        source=JUDGEMENT,
        words="A feature this near to a pinch point can be its reason.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ScrapeSettings:
    """Where scrapes may lie and how they are chosen."""

    trips_counted: Counted = setting(
        Counted.ALL,
        shown="",
        low=0,
        high=0,
        source=JUDGEMENT,
        words="Which trips spots are chosen by: all (scrapes work for a camera at night too), or "
        "legal light (only trips that pass in it, evenings and mornings alike).",
    )

    reach_m: float = setting(
        30.0,
        shown="yd",
        low=10,
        high=60,
        source=COMMON,
        words="How near a deer must pass to find a scrape.",
    )
    per_cluster: int = setting(
        3,
        shown="",
        low=2,
        high=3,
        source=COMMON,
        words="Most scrapes in a cluster.",
    )
    spacing_low_m: float = setting(
        20.0,
        shown="yd",
        low=10,
        high=60,
        source=COMMON,
        words="Least distance between the scrapes of a cluster.",
    )
    spacing_high_m: float = setting(
        30.0,
        shown="yd",
        low=15,
        high=100,
        source=COMMON,
        words="Greatest distance from a scrape to the next in its cluster.",
    )
    standoff_m: float = setting(
        100.0,
        shown="yd",
        low=0,
        high=400,
        source=COMMON,
        words="No scrape nearer to a bed than this.",
    )
    clusters_apart_m: float = setting(
        150.0,
        shown="yd",
        low=50,
        high=600,
        source=COMMON,
        words="Least distance between the scrapes of two clusters.",
    )
    house_m: float = setting(
        100.0,
        shown="yd",
        low=0,
        high=500,
        source="judgement; law decides",
        words="No scrape nearer to a house than this.",
    )
    road_m: float = setting(
        30.0,
        shown="yd",
        low=0,
        high=300,
        source="judgement; law decides",
        words="No scrape nearer to a road than this.",
    )
    cover_within_m: float = setting(
        10.0,
        shown="m",
        low=0,
        high=40,
        source=COMMON,
        words="A scrape lies in woody cover or at most this far outside it.",
    )
    n_clusters: int = setting(
        6,
        shown="",
        low=1,
        high=12,
        source=JUDGEMENT,
        words="Most clusters chosen.",
    )
    least_gain: float = setting(
        0.02,
        shown="",
        low=0,
        high=0.2,
        source=JUDGEMENT,
        words="Stop when the next cluster adds less than this share of trips.",
    )
    candidate_step_m: float = setting(
        10.0,
        shown="m",
        low=5,
        high=30,
        source=JUDGEMENT,
        words="Distance between the places that are tried.",
    )
    camera_m: float = setting(
        4.0,
        shown="yd",
        low=3,
        high=5,
        source=COMMON,
        words="Distance from a scrape to its camera.",
    )
    camera_turn_deg: float = setting(
        45.0,
        shown="deg",
        low=0,
        high=90,
        source=COMMON,
        words="A camera faces north within this angle, so that the sun does not blind it.",
    )
    staging_near_m: float = setting(
        20.0,
        shown="yd",
        low=0,
        high=100,
        source=COMMON,
        words="Staging begins this far inside the cover from a food source's edge.",
    )
    staging_far_m: float = setting(
        110.0,
        shown="yd",
        low=40,
        high=300,
        source=COMMON,
        words="Staging ends this far inside the cover from a food source's edge.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RedrawSettings:
    """How the results are tried again with other cost tables."""

    n_redraws: int = setting(
        20,
        shown="",
        low=0,
        high=200,
        source=JUDGEMENT,
        words="How often everything is redrawn.",
    )
    wander_spread: float = setting(
        0.25,
        shown="",
        low=0,
        high=0.9,
        source=JUDGEMENT,
        words="Wander is drawn within this share of its value.",
    )
    same_place_m: float = setting(
        60.0,
        shown="yd",
        low=10,
        high=200,
        source=JUDGEMENT,
        words="A cluster stayed if a chosen one lies within this distance.",
    )
    strength_factor: float = setting(
        2.0,
        shown="",
        low=1,
        high=4,
        source=JUDGEMENT,
        words="Exposure, people and line costs are drawn within this factor of their value.",
    )
    spread: float = setting(
        1.0,
        shown="",
        low=0,
        high=2,
        source=JUDGEMENT,
        words="How much of each range is used: 0 nothing, 1 all of it.",
    )
