"""What verbs of the season ask of stands: the base of a day, the stands in force, their winds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from funnelfinder.cli.telling import tell_notes, telling_progress

if TYPE_CHECKING:
    from datetime import date

    from funnelfinder.cli.running import Found
    from funnelfinder.plan import PlannedWays
    from funnelfinder.stands import Stand, StandBase


def stands_on(found: Found, on: date) -> tuple[StandBase, tuple[Stand, ...]]:
    """Return what stands are judged on at a date, and the stands in force."""
    from funnelfinder.analysis import phase_of_day
    from funnelfinder.analysis.sitting import property_day, sitting_base
    from funnelfinder.stands import stands_for

    day, note = property_day(found.place, on)
    now = phase_of_day(found.place, on)
    tell_notes([*([note] if note else []), now.words])
    with telling_progress() as progress:
        base = sitting_base(
            found.place, found.grids, found.findings, day, phase=now.phase, progress=progress
        )
    return base, stands_for(base, found.findings.clusters, found.place.stands)


def ways_on(
    found: Found, on: date, known: tuple[StandBase, tuple[Stand, ...]] | None = None
) -> PlannedWays | None:
    """Return the quiet walks to the clusters of a property and to its stands.

    None, with a note, where they cannot be sought: without grids, ways in, beds or food.
    """
    from funnelfinder.errors import GridError, MarkError, NoWayError
    from funnelfinder.marks import MarkKind
    from funnelfinder.plan import planned_ways, spots_of

    if found.grids is None or not any(found.place.of_kind(MarkKind.WAY_IN)):
        tell_notes(["no way in is marked, so no walk is planned to the spots"])
        return None
    try:
        base, stands = known or stands_on(found, on)
    except (GridError, MarkError, NoWayError) as error:
        tell_notes([f"no walk is planned to the spots: {error}"])
        return None
    with telling_progress() as progress:
        return planned_ways(base, spots_of(found.place, found.findings), stands, progress=progress)
