"""When to go in: which spot had a mature buck in daylight lately, as facts and not as a score."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Final

import numpy as np

from funnelfinder.analysis import Findings, sun_clock
from funnelfinder.analysis.watching import cluster_at
from funnelfinder.daylight import Half
from funnelfinder.evidence import CameraLog, Deer, DeerVisit, SunClock, places_of, read_time
from funnelfinder.marks import Property
from funnelfinder.plan.schedule import is_left_alone, visits_at
from funnelfinder.plan.spots import Spot, spots_of
from funnelfinder.season import Done, Visit, peak_for
from funnelfinder.stands import WINDS_DEG, WindTable
from funnelfinder.wind import said_compass

#: How far "lately" reaches back (judgement) [days].
LATELY_DAYS: Final = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class StandWinds:
    """The winds on which a stand may be sat in one half of the day.

    ``light_share`` is the share of the model's trips that pass its spot in legal light.
    """

    stand: str
    half: Half
    winds: tuple[str, ...]
    light_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GoingIn:
    """What is known of one cluster lately.

    Parameters
    ----------
    spot : Spot
        The cluster.
    nights : float
        Camera-nights within the days looked back on; 0 says that nothing is known.
    last_read : datetime, optional
        Until when the records reach.
    in_light : tuple of DeerVisit
        Visits of mature bucks in legal light, latest first.
    n_mature : int
        Visits of mature bucks at any hour.
    told : tuple of Visit
        What the person wrote into the log as seen there.
    left_alone : bool
        Whether the work table says to stay out today.
    stands : tuple of StandWinds
        Its stands with their winds; empty where no wind table was given.
    """

    spot: Spot
    nights: float
    last_read: datetime | None
    in_light: tuple[DeerVisit, ...]
    n_mature: int
    told: tuple[Visit, ...]
    left_alone: bool
    stands: tuple[StandWinds, ...]


def going_in(
    place: Property,
    findings: Findings,
    cameras: CameraLog,
    *,
    today: date,
    log: Sequence[Visit] = (),
    days: int = LATELY_DAYS,
    winds: WindTable | None = None,
) -> tuple[GoingIn, ...]:
    """Return what is known of each cluster lately, in the order of their numbers.

    Parameters
    ----------
    place : Property
        Its clock, its legal light, its work table.
    findings : Findings
        Whose clusters are told of.
    cameras : CameraLog
        All records.
    today : date
        The day on which one asks; what came later is not known yet.
    log : sequence of Visit
        What the person did and saw.
    days : int
        How far back to look.
    winds : WindTable, optional
        What stands are worth on 16 winds.
    """
    clock, _ = sun_clock(place)
    until = datetime.combine(today, time.max, clock.zone)
    lately = cameras.between(until - timedelta(days=days), until)
    by_cluster = dict(_by_cluster(lately, findings))
    on = peak_for(today, place.peak_breeding) if place.peak_breeding else None
    return tuple(
        _of_spot(
            spot,
            by_cluster.get(spot.number, CameraLog()),
            clock,
            told=_told(spot, log, today, days),
            left_alone=on is not None and is_left_alone(spot, today, on, place.season.rules),
            stands=tuple(_stand_winds(place, spot, winds)) if winds is not None else (),
        )
        for spot in spots_of(place, findings)
    )


def _by_cluster(log: CameraLog, findings: Findings) -> Iterator[tuple[int, CameraLog]]:
    """Yield the records of the cameras at each cluster."""
    at = {stay.key: cluster_at(findings.clusters, stay.x_m, stay.y_m) for stay in log.stays}
    for number in set(at.values()) - {0}:
        yield (
            number,
            CameraLog(
                stays=tuple(stay for stay in log.stays if at[stay.key] == number),
                sightings=tuple(one for one in log.sightings if at[one.stay] == number),
            ),
        )


def _of_spot(
    spot: Spot,
    log: CameraLog,
    clock: SunClock,
    *,
    told: tuple[Visit, ...],
    left_alone: bool,
    stands: tuple[StandWinds, ...],
) -> GoingIn:
    """Return what is known of one cluster."""
    # Bucks that come with does are seen by their own records, not by when the first doe came.
    mature = replace(
        log, sightings=tuple(one for one in log.sightings if one.deer is Deer.MATURE_BUCK)
    )
    visits = sorted(
        (visit for place in places_of(mature, clock) for visit in place.visits),
        key=lambda visit: visit.at,
        reverse=True,
    )
    return GoingIn(
        spot=spot,
        nights=sum(stay.nights for stay in log.stays),
        last_read=max((read_time(stay.ended) for stay in log.stays), default=None),
        in_light=tuple(visit for visit in visits if visit.sun.is_light),
        n_mature=len(visits),
        told=told,
        left_alone=left_alone,
        stands=stands,
    )


def _told(spot: Spot, log: Sequence[Visit], today: date, days: int) -> tuple[Visit, ...]:
    """Return what the person wrote as seen at a spot lately, latest first."""
    return tuple(
        one
        for one in reversed(visits_at(spot, log))
        if one.done is Done.SEEN and timedelta(0) <= today - one.day <= timedelta(days=days)
    )


def _stand_winds(place: Property, spot: Spot, table: WindTable) -> Iterator[StandWinds]:
    """Yield the stands of a cluster with the winds that let one sit there unnoticed."""
    huntable = table.is_huntable(place.settings.stands)
    for row, stand in enumerate(table.stands):
        if stand.cluster != spot.number:
            continue
        for number, half in enumerate(Half):
            good = np.flatnonzero(huntable[row, :, number])
            yield StandWinds(
                stand=stand.name,
                half=half,
                winds=tuple(said_compass(WINDS_DEG[one]) for one in good),
                light_share=float(table.caught[row, number]),
            )
