"""The wind table and tonight's list on the sample property."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, kw_only=True)
class StandTiming:
    """What was timed, its seconds, and the target."""

    what: str
    seconds: float
    target_s: float


def stand_timings() -> tuple[StandTiming, ...]:
    """Return how long 20 stands × 16 winds × 2 take, and tonight's list with its ways in."""
    from funnelfinder.daylight import Half
    from funnelfinder.stands import Moment, both_ways, find_stands, tonight, wind_table

    base, findings = _sample()
    stands = find_stands(base, findings.clusters)[:20]
    moment = Moment(half=Half.EVENING, from_deg=315.0, speed_m_s=2.0)

    def ranked() -> None:
        ways, out = both_ways(base, stands, moment)
        tonight(base, stands, moment, ways=ways, ways_out=out)

    wind_table(base, stands[:1])  # compiled or read from the cache
    ranked()
    return (
        StandTiming(
            what=f"wind table, {len(stands)} stands × 16 winds × evening and morning",
            seconds=_seconds(lambda: wind_table(base, stands, speed_m_s=2.0)),
            target_s=10.0,
        ),
        StandTiming(
            what="tonight's list, with ways in and out", seconds=_seconds(ranked), target_s=1.0
        ),
    )


def _sample():  # type: ignore[no-untyped-def]
    """Return what stands of the sample are judged on, and its findings."""
    from funnelfinder.sample_rasters import sample_files

    from funnelfinder.analysis import Workings, run
    from funnelfinder.analysis.sitting import property_day, sitting_base
    from funnelfinder.cli.demo import _sample as sample
    from funnelfinder.progress import QUIET

    place, grids = sample(sample_files(), QUIET)
    work = Workings()
    findings = run(place, grids, n_redraws=0, workings=work)
    day, _ = property_day(place, date(2026, 11, 8))
    return sitting_base(place, grids, findings, day, workings=work), findings


def _seconds(work: Callable[[], object]) -> float:
    """Return how long work takes."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


if __name__ == "__main__":
    for row in stand_timings():
        print(f"{row.what}: {row.seconds:.2f} s (target {row.target_s:g} s)")
