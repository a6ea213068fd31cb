"""Tasks of the worker process for stands, winds, ways, sits and daylight.

What stands are judged on is laid on the shelf once for a property, a phase and its findings;
another date, wind or tree then needs only what hangs on it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

import numpy as np

from funnelfinder.analysis.findings import Findings
from funnelfinder.daylight import Half
from funnelfinder.kernels import AnyArray
from funnelfinder.marks import Property
from funnelfinder.progress import Progress
from funnelfinder.scrapes import Cluster
from funnelfinder.stands import JudgedStand, Moment, Sit, Stand, StandBase, WindTable
from funnelfinder.sun import SunDay

from .process import Shelf

#: Stands of a wind table that are worked out between two looks at Stop.
_AT_A_TIME = 2


@dataclass(frozen=True, kw_only=True)
class Basis:
    """What stands are judged on is made of these: a property, what was found on it, and a date.

    ``spots`` are the spots to hunt, under the person's names; ``log`` tells by their numbers when
    each was sat before.
    """

    place: Property
    findings: Findings
    spots: tuple[Cluster, ...]
    on: date
    log: Mapping[int, Sequence[date]] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        place: Property,
        findings: Findings,
        spots: Sequence[Cluster],
        *,
        on: date,
        log: Mapping[int, Sequence[date]],
    ) -> Basis:
        """Return a basis without what need not travel to the process."""
        bare = replace(
            findings, passage=np.zeros((1, 1), dtype=np.float32), drawn_m=(), features=()
        )
        return cls(place=place, findings=bare, spots=tuple(spots), on=on, log=log)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotLight:
    """How trips pass a spot at one end of the day.

    ``light_low`` and ``light_high`` are the shares in legal light under heavy and light pressure;
    ``median_min`` is when the middle trip comes [min after sunset or sunrise].
    """

    share: float
    light_share: float
    light_low: float
    light_high: float
    median_min: float


@dataclass(frozen=True, kw_only=True)
class Trees:
    """The stands of the spots on a date.

    ``stands`` are those in force, ``others`` trees that were found and are not taken; ``light``
    tells by spot and end of day how trips pass; ``notes`` what had to be guessed.
    """

    day: SunDay
    stands: tuple[Stand, ...]
    others: tuple[Stand, ...]
    light: Mapping[tuple[int, Half], SpotLight]
    notes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Scent:
    """Where scent of a stand goes: the share of the wind's swing that carries it to each cell.

    ``share`` is (2n, 2n), south-west corner first, the person in the middle [share of the swing].
    """

    stand: str
    share: AnyArray
    cell_m: float
    at_m: tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class InLight:
    """Passage in legal light of one end of a day.

    ``passage_per_m`` is (rows, cols) float32 on the travel grid [share of all trips per metre of
    front]; ``spots`` tells by spot and end of day how trips pass.
    """

    day: SunDay
    half: Half
    passage_per_m: AnyArray
    spots: Mapping[tuple[int, Half], SpotLight]


def find_trees(shelf: Shelf, progress: Progress, basis: Basis) -> Trees:
    """Return the stands of the picked spots."""
    from funnelfinder.stands import find_stands, stands_for

    base, notes = base_of(shelf, progress, basis)
    progress.step(0.9, "Looking for trees")
    stands = stands_for(base, basis.spots, basis.place.stands)
    return Trees(
        day=base.day,
        stands=stands,
        others=_others(stands, find_stands(base, basis.spots)),
        light=_lights(base, basis.spots),
        notes=notes,
    )


def wind_rows(
    shelf: Shelf,
    progress: Progress,
    basis: Basis,
    stands: Sequence[Stand],
    moment: Moment,
) -> WindTable:
    """Return the wind table of stands for the speed and sky of a moment.

    Rows that are known are not worked out again.
    """
    from funnelfinder.stands import wind_table

    base, _ = base_of(shelf, progress, basis)
    kept = shelf.setdefault("wind rows", {})
    key = (shelf["sits"][0], basis.on, moment.speed_m_s, moment.sky)
    if shelf.get("wind rows for") != key:
        kept.clear()
        shelf["wind rows for"] = key
    missing = [one for one in stands if _place_of(one) not in kept]
    for first in range(0, len(missing), _AT_A_TIME):
        progress.step(first / len(missing), f"Trying 16 winds on {missing[first].name}")
        some = missing[first : first + _AT_A_TIME]
        table = wind_table(base, some, speed_m_s=moment.speed_m_s, sky=moment.sky)
        for row, stand in enumerate(some):
            kept[_place_of(stand)] = (table.caught[row], table.alerted[row])
    rows = [kept[_place_of(one)] for one in stands]
    return WindTable(
        stands=tuple(stands),
        caught=np.array([caught for caught, _ in rows]).reshape(-1, 2),
        alerted=np.array([alerted for _, alerted in rows]).reshape(-1, 16, 2),
    )


def rank_sits(
    shelf: Shelf,
    progress: Progress,
    basis: Basis,
    stands: Sequence[Stand],
    moment: Moment,
) -> tuple[Sit, ...]:
    """Return the sits of a moment, the best first, with the ways in and out."""
    from funnelfinder.stands import both_ways, tonight

    base, _ = base_of(shelf, progress, basis)
    progress.step(0.2, "Looking for quiet ways")
    ways, out = both_ways(base, stands, moment)
    progress.step(0.7, "Ranking the sits")
    return tonight(base, stands, moment, log=basis.log, ways=ways, ways_out=out)


def scent_of(shelf: Shelf, progress: Progress, basis: Basis, stand: Stand, moment: Moment) -> Scent:
    """Return where the scent of a person in a stand goes."""
    from funnelfinder.stands.sits import air_of
    from funnelfinder.wind import scent_bits
    from funnelfinder.wind.scent import CELL_M

    base, _ = base_of(shelf, progress, basis)
    air = air_of(base, moment)
    bits = scent_bits(
        (stand.x_m, stand.y_m),
        air,
        base.drift,
        base.settings.wind,
        heights_m=(base.settings.stands.stand_height_m, 0.0),
        grid_turn_deg=base.grid_turn_deg,
    )
    share = np.bitwise_count(bits).astype(np.float32) / air.turns_rad.size
    return Scent(stand=stand.name, share=share, cell_m=CELL_M, at_m=(stand.x_m, stand.y_m))


def judge_tree(
    shelf: Shelf, progress: Progress, basis: Basis, at_m: tuple[float, float], spot: int | None
) -> JudgedStand | None:
    """Return what a place is worth for a stand."""
    from funnelfinder.stands import judge_of, judge_stand

    base, _ = base_of(shelf, progress, basis)
    key = (shelf["sits"][0], basis.on, basis.spots)
    if shelf.get("judge for") != key:
        shelf["judge"], shelf["judge for"] = judge_of(base, basis.spots), key
    return judge_stand(shelf["judge"], *at_m, cluster=spot)


def passage_in_light(shelf: Shelf, progress: Progress, basis: Basis, half: Half) -> InLight:
    """Return the passage in legal light."""
    base, _ = base_of(shelf, progress, basis)
    progress.step(0.9, "Counting what comes in legal light")
    light = base.passing_map.in_light(base.clock(half))
    return InLight(
        day=base.day,
        half=half,
        passage_per_m=light.astype(np.float32),
        spots=_lights(base, basis.spots),
    )


def base_of(shelf: Shelf, progress: Progress, basis: Basis) -> tuple[StandBase, tuple[str, ...]]:
    """Return what stands are judged on, from the shelf where it lies there, and what was guessed.

    A date in the same phase changes nothing but the sun.
    """
    from funnelfinder.analysis import Workings, phase_of_day
    from funnelfinder.analysis.sitting import property_day, sitting_base

    day, note = property_day(basis.place, basis.on)
    now = phase_of_day(basis.place, basis.on)
    bare = replace(basis.place, picks=(), stands=(), name="")
    key = (bare, basis.findings.seed, basis.findings.fingerprint, now.phase)
    kept = shelf.get("sits")
    if kept is None or kept[0] != key:
        base = sitting_base(
            basis.place,
            shelf["grids"],
            basis.findings,
            day,
            phase=now.phase,
            workings=shelf.setdefault("workings", Workings()),
            progress=progress,
        )
        kept = (key, base)
        shelf["sits"] = kept
    base = kept[1]
    notes = tuple(words for words in (now.words, note) if words)
    return (base if base.day == day else replace(base, day=day)), notes


def _lights(base: StandBase, spots: Sequence[Cluster]) -> dict[tuple[int, Half], SpotLight]:
    """Return how trips pass each spot, evening and morning."""
    from funnelfinder.defaults import Pressure
    from funnelfinder.stands.sits import passing_of

    found: dict[tuple[int, Half], SpotLight] = {}
    for spot in spots:
        reach_m = base.settings.scrapes.reach_m
        within = base.walks.within(np.array(spot.scrapes_m), reach_m)
        for half in Half:
            own, heavy, light = (
                passing_of(base, within, base.clock(half, pressure))
                for pressure in (None, Pressure.HEAVY, Pressure.LIGHT)
            )
            found[spot.number, half] = SpotLight(
                share=own.share,
                light_share=own.light_share,
                light_low=min(heavy.light_share, light.light_share),
                light_high=max(heavy.light_share, light.light_share),
                median_min=own.median_min,
            )
    return found


def _others(stands: Sequence[Stand], found: Sequence[Stand]) -> tuple[Stand, ...]:
    """Return the trees found that are not in force, under names that no other stand has."""
    taken = {(one.x_m, one.y_m) for one in stands}
    names = {one.name for one in stands}
    others = []
    for one in found:
        if (one.x_m, one.y_m) in taken:
            continue
        free = (f"S{one.cluster}{letter}" for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        name = one.name if one.name not in names else next(n for n in free if n not in names)
        names.add(name)
        others.append(replace(one, name=name))
    return tuple(others)


def _place_of(stand: Stand) -> Any:
    """Return what the row of a stand hangs on."""
    return (stand.x_m, stand.y_m, stand.scrapes_m)
