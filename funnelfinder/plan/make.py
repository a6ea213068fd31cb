"""From a property, its findings and its log to a season's dated work."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import InputError
from funnelfinder.marks import Property
from funnelfinder.plan.cautions import plan_cautions
from funnelfinder.plan.schedule import Scheduler
from funnelfinder.plan.spots import Spot, spots_of
from funnelfinder.plan.tasks import Plan, Task
from funnelfinder.plan.walks import walks_of, way_notes
from funnelfinder.plan.ways_in import PlannedWays
from funnelfinder.season import (
    BRANCH_WORDS,
    KEEPING,
    Action,
    Allowance,
    Scent,
    Visit,
    WorkRule,
    day_in,
    peak_for,
    phase_on,
    scent_words,
    spans,
)

#: Work is planned from so long before the peak to so long after it [days].
_BEFORE_DAYS: Final = 125
_AFTER_DAYS: Final = 75
_NO_SCENT: Final = (Allowance.UNKNOWN, Allowance.NONE)


def make_plan(
    place: Property,
    findings: Findings,
    *,
    today: date,
    log: Sequence[Visit] = (),
    ways: PlannedWays | None = None,
) -> Plan:
    """Return the dated work of the season that is under way or comes next.

    Parameters
    ----------
    place : Property
        Its peak breeding date, its choices for the season, its marks.
    findings : Findings
        Whose clusters are the spots.
    today : date
        Nothing is planned before it.
    log : sequence of Visit
        What was done already; it moves the plan.
    ways : PlannedWays, optional
        Walks to spots and stands (`planned_ways`); without them the plan warns where a straight
        way would cross a bed or a core.

    Raises
    ------
    InputError
        If no peak breeding date is set or no cluster was found.
    """
    if not place.peak_breeding:
        raise InputError(
            "No peak breeding date is set, and everything hangs on it.",
            where=place.name,
            remedy="Give the date that your state agency publishes, as --peak 11-15.",
        )
    if not findings.clusters:
        raise InputError("No cluster was found, so there is nothing to plan.", where=place.name)
    choices, settings = place.season, place.settings.season
    peak_on = season_peak(place, today)
    spots = spots_of(place, findings)
    open_spots = [spot for spot in spots if choices.may_enter_core or not spot.core]
    notes = [
        f"{spot.label} lies in {spot.core}: nothing is planned in a buck's core."
        for spot in spots
        if spot.core and not choices.may_enter_core
    ]
    if not choices.opening:
        notes.append("No opening day of your season is set, so no sitting is planned.")
    scheduler = Scheduler(
        choices.rules,
        peak_on=peak_on,
        first=max(today, peak_on - timedelta(days=_BEFORE_DAYS)),
        last=peak_on + timedelta(days=_AFTER_DAYS),
        opens_on=_opening(choices.opening, peak_on),
        dead_after_days=settings.dead_after_days,
    )
    scheduled = scheduler.schedule(open_spots, log)
    tasks = tuple(
        _task(place, day, latest, spot, rule)
        for day, latest, spot, rule in sorted(
            scheduled.done, key=lambda one: (one[0], one[2].area, one[2].number)
        )
    )
    walks = tuple(walks_of(tasks, ways or PlannedWays()))
    return Plan(
        property_name=place.name,
        peak_on=peak_on,
        phases=spans(peak_on, settings, velvet=choices.velvet),
        spots=spots,
        tasks=tasks,
        walks=walks,
        entries={
            area: len({walk.on for walk in walks if walk.area == area})
            for area in sorted({spot.area for spot in spots})
        },
        notes=(*notes, *way_notes(spots, ways), *dict.fromkeys(scheduled.notes)),
        cautions=plan_cautions(choices.allowance),
    )


def season_peak(place: Property, today: date) -> date:
    """Return the peak of the season under way, or of the next once this one's work is over."""
    peak_on = peak_for(today, place.peak_breeding)
    if today > peak_on + timedelta(days=_AFTER_DAYS):
        return peak_for(today + timedelta(days=200), place.peak_breeding)
    return peak_on


def _opening(text: str, peak_on: date) -> date | None:
    """Return the opening day of the season of a peak: the last such day before its end."""
    if not text:
        return None
    end = peak_on + timedelta(days=_AFTER_DAYS)
    years = (end.year, end.year - 1)
    return next(day for day in (day_in(year, text) for year in years) if day <= end)


def _task(place: Property, day: date, latest: date, spot: Spot, rule: WorkRule) -> Task:
    """Return a task in words."""
    choices = place.season
    is_scrape = rule.action in (Action.OPEN, Action.ADD, Action.FRESHEN)
    words = [rule.words]
    if rule.action in (Action.OPEN, Action.ADD):
        words.append(BRANCH_WORDS)
    if is_scrape and rule.scent is not Scent.NONE and choices.allowance not in _NO_SCENT:
        words.append(KEEPING)
    return Task(
        on=day,
        latest=latest,
        spot=spot,
        action=rule.action,
        rule=rule.rule,
        phase=phase_on(day, place.peak_breeding, place.settings.season, velvet=place.season.velvet),
        words=" ".join(words),
        scent=scent_words(rule.scent, rule.amount, choices.allowance) if is_scrape else "",
        hours=rule.hours,
        source=rule.source,
    )
