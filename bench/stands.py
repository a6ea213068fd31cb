"""Wind table, tonight's list, and what follows a hand or a date, on the sample property."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date


@dataclass(frozen=True, kw_only=True)
class StandTiming:
    """What was timed, its seconds, and the target."""

    what: str
    seconds: float
    target_s: float


def stand_timings() -> tuple[StandTiming, ...]:
    """Return how long 20 stands × 16 winds × 2 take, and tonight's list with its ways in."""
    from funnelfinder.analysis.sitting import property_day
    from funnelfinder.daylight import Half
    from funnelfinder.stands import (
        Moment,
        both_ways,
        find_stands,
        judge_of,
        judge_stand,
        tonight,
        wind_table,
    )

    place, base, findings = _sample()
    stands = find_stands(base, findings.clusters)[:20]
    moment = Moment(half=Half.EVENING, from_deg=315.0, speed_m_s=2.0)

    def ranked() -> None:
        ways, out = both_ways(base, stands, moment)
        tonight(base, stands, moment, ways=ways, ways_out=out)

    light = base.passing_map

    def slid() -> None:
        day, _ = property_day(place, date(2026, 10, 3))
        later = replace(base, day=day)
        for half in Half:
            light.in_light(later.clock(half))

    judge, (x_m, y_m) = judge_of(base, findings.clusters), findings.clusters[0].camera_m
    slid()
    judge_stand(judge, x_m, y_m)
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
        StandTiming(
            what="daylight map of another date, evening and morning",
            seconds=_seconds(slid),
            target_s=0.3,
        ),
        StandTiming(
            what="a place for a stand judged under the hand",
            seconds=_seconds(lambda: judge_stand(judge, x_m, y_m)),
            target_s=0.05,
        ),
    )


def _sample():  # type: ignore[no-untyped-def]
    """Return the sample, what its stands are judged on, and its findings."""
    from funnelfinder.sample_rasters import sample_files

    from funnelfinder.analysis import Workings, run
    from funnelfinder.analysis.sitting import property_day, sitting_base
    from funnelfinder.cli.demo import _sample as sample
    from funnelfinder.progress import QUIET

    place, grids = sample(sample_files(), QUIET)
    work = Workings()
    findings = run(place, grids, n_redraws=0, workings=work)
    day, _ = property_day(place, date(2026, 11, 8))
    return place, sitting_base(place, grids, findings, day, workings=work), findings


def _seconds(work: Callable[[], object]) -> float:
    """Return how long work takes, the least of three times: other programs run as well."""
    times = []
    for _ in range(3):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def main() -> int:
    """Print what was timed, and return how many targets were missed."""
    missed = 0
    for row in stand_timings():
        word = "" if row.seconds <= row.target_s else "  MISSED"
        missed += bool(word)
        print(f"{row.what}: {row.seconds:.3g} s (target {row.target_s:g} s){word}")
    return missed


if __name__ == "__main__":
    sys.exit(min(main(), 1))
