"""Defaults of the season: where its phases begin, and how trips change with them."""

from __future__ import annotations

from dataclasses import dataclass

from funnelfinder.defaults.about import COMMON, JUDGEMENT, setting

#: What the offsets of the phases rest on.
_OFFSETS = "fitted to phase dates of the Penn State deer study, peak about 15 November"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonSettings:
    """Phases in days from the peak breeding date, and the share of trips between beds."""

    early_season_day: int = setting(
        -75,
        shown="",
        low=-110,
        high=-61,
        source=COMMON,
        words="Day from peak breeding on which the early season begins.",
    )
    pre_rut_day: int = setting(
        -45,
        shown="",
        low=-60,
        high=-35,
        source=_OFFSETS,
        words="Day from peak breeding on which the pre-rut begins.",
    )
    seeking_day: int = setting(
        -21,
        shown="",
        low=-34,
        high=-12,
        source="scraping peaks 2 to 3 weeks before, Miller & Marchinton 1999, "
        "Can. Field-Nat. 113:519",
        words="Day from peak breeding on which seeking begins.",
    )
    peak_breeding_day: int = setting(
        -7,
        shown="",
        low=-11,
        high=-1,
        source=_OFFSETS,
        words="Day from peak breeding on which the peak itself begins.",
    )
    late_day: int = setting(
        11,
        shown="",
        low=5,
        high=30,
        source=COMMON,
        words="Day from peak breeding on which the late season begins.",
    )
    bed_to_bed_seeking: float = setting(
        0.4,
        shown="",
        low=0,
        high=0.9,
        source=JUDGEMENT,
        words="Share of a buck's trips that go to beds of does while he seeks.",
    )
    bed_to_bed_peak: float = setting(
        0.6,
        shown="",
        low=0,
        high=0.9,
        source=JUDGEMENT,
        words="Share of a buck's trips that go to beds of does at peak breeding.",
    )
    walk_together_m: float = setting(
        300.0,
        shown="yd",
        low=50,
        high=1000,
        source=JUDGEMENT,
        words="Spots this near to each other are one area and are worked on one walk.",
    )
    dead_after_days: int = setting(
        21,
        shown="",
        low=7,
        high=60,
        source=COMMON,
        words="A scrape gets so many days before it is called dead and moved.",
    )
