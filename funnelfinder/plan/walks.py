"""Tasks of one day and area as one walk: by which way, in which hours, on which winds not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby, pairwise

from funnelfinder.daylight import Half
from funnelfinder.plan.spots import Spot
from funnelfinder.plan.tasks import Task, Walk
from funnelfinder.plan.ways_in import PlannedWays, WayIn
from funnelfinder.season import Action


def walks_of(tasks: Sequence[Task], ways: PlannedWays) -> Iterator[Walk]:
    """Yield the walks of tasks, in order of their days; sits are walks of their own.

    Parameters
    ----------
    tasks : sequence of Task
        The dated work.
    ways : PlannedWays
        Walks to spots and stands.
    """

    def key(task: Task) -> tuple[date, int, int]:
        sits = task.action is Action.SIT
        return task.on, task.spot.area, task.spot.number if sits else 0

    for (on, area, _), group in groupby(sorted(tasks, key=key), key=key):
        own = tuple(group)
        if own[0].action is Action.SIT:
            yield _sit(on, area, own, ways)
        else:
            yield _work(on, area, own, ways)


def way_notes(spots: Sequence[Spot], ways: PlannedWays | None) -> Iterator[str]:
    """Yield which ways in cross what they must not, or are not quiet."""
    for spot in spots:
        if ways is None:
            if spot.crossed:
                crossed = ", ".join(spot.crossed)
                yield (
                    f"{spot.label}: the straight way from {spot.way_in} crosses {crossed};"
                    " go round."
                )
            continue
        way = ways.work.get(spot.number)
        if way is None:
            if spot.way_in:
                yield (
                    f"{spot.label}: no way in leads there off beds, cores, keep-off ground and"
                    " water."
                )
            continue
        if way.faults:
            yield f"{spot.label}: the best way in is not quiet: {'; '.join(way.faults)}."
        if not way.winds:
            yield f"{spot.label}: deer in their beds smell you on the way in on any wind."


def _sit(on: date, area: int, tasks: tuple[Task, ...], ways: PlannedWays) -> Walk:
    """Return the walk to the stand of a spot, and the winds that spoil it."""
    spot, hours = tasks[0].spot, tasks[0].hours
    stand = ways.stands.get(spot.number, "")
    half = Half.MORNING if hours < "12:00" else Half.EVENING
    way = ways.sits.get((stand, half))
    return _walk(on, area, hours, tasks=tasks, legs=(way,), stand=stand)


def _work(on: date, area: int, tasks: tuple[Task, ...], ways: PlannedWays) -> Walk:
    """Return one walk to all spots of its tasks, in hours that suit them all."""
    begins, ends = zip(*(task.hours.split("-") for task in tasks), strict=True)
    begin, end = max(begins), min(ends)
    hours = f"{begin}-{end}" if begin < end else tasks[0].hours
    numbers = _in_order(tuple(dict.fromkeys(task.spot.number for task in tasks)), ways)
    legs = (ways.work.get(numbers[0]), *(ways.onward.get(pair) for pair in pairwise(numbers)))
    order = {number: k for k, number in enumerate(numbers)}
    tasks = tuple(sorted(tasks, key=lambda task: order[task.spot.number]))
    return _walk(on, area, hours, tasks=tasks, legs=legs)


def _in_order(numbers: tuple[int, ...], ways: PlannedWays) -> tuple[int, ...]:
    """Return spots in the order in which they are walked: the nearest first, then the next."""
    known = [number for number in numbers if number in ways.work]
    if not known:
        return numbers
    walked = [min(known, key=lambda number: ways.work[number].length_m)]
    left = [number for number in numbers if number != walked[0]]
    while left:

        def length(number: int) -> float:
            way = ways.onward.get((walked[-1], number))
            return way.length_m if way else float("inf")

        walked.append(min(left, key=length))
        left.remove(walked[-1])
    return tuple(walked)


def _walk(
    on: date,
    area: int,
    hours: str,
    *,
    tasks: tuple[Task, ...],
    legs: tuple[WayIn | None, ...],
    stand: str = "",
) -> Walk:
    """Return a walk without the winds that spoil any part of it."""
    winds = [wind for task in tasks for wind in task.spot.winds]
    winds += [wind for leg in legs if leg is not None for wind in leg.bad_winds]
    first = legs[0] if legs else None
    return Walk(
        on=on,
        area=area,
        hours=hours,
        way_in=first.start if first is not None else tasks[0].spot.way_in,
        winds=tuple(dict.fromkeys(winds)),
        tasks=tasks,
        ways=legs if any(leg is not None for leg in legs) else (),
        stand=stand,
    )
