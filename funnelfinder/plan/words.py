"""A plan in plain words."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from typing import Final

from funnelfinder.plan.spots import WIND_WORDS
from funnelfinder.plan.tasks import Plan, Task, Walk
from funnelfinder.season import UNSURE_DAYS, Action, hours_of, said_about, said_day, words_for
from funnelfinder.units import said_clock, said_length

_COLUMNS_WIDE: Final = 88


def walk_words(walk: Walk, *, with_lengths: bool = True) -> str:
    """Return when, by which way and with which wind a walk is made.

    Parameters
    ----------
    walk : Walk
        The walk.
    with_lengths : bool
        False where the way to the first spot is told in full beside it.
    """
    sits = any(task.action is Action.SIT for task in walk.tasks)
    hours = _said_hours(walk.hours)
    parts = [hours if sits else f"{hours}, when deer are elsewhere"]
    if walk.stand:
        parts.append(f"Stand {walk.stand}")
    if walk.way_in:
        parts.append(f"In by {walk.way_in}{''.join(_leg_words(walk, with_lengths))}")
    if len(walk.winds) == len(WIND_WORDS):
        parts.append("No wind is good there")
    elif walk.winds:
        parts.append(f"Not with wind from the {', '.join(walk.winds)}")
    return ". ".join(parts) + "."


def _said_hours(text: str) -> str:
    """Return hours as people say them."""
    hours = hours_of(text)
    return " to ".join(map(said_clock, hours)) if hours else text


def _leg_words(walk: Walk, with_lengths: bool) -> Iterator[str]:
    """Yield how far it is to the first spot, and from each to the next."""
    labels = list(dict.fromkeys(task.spot.label for task in walk.tasks))
    for number, way in enumerate(walk.ways):
        if way is None:
            continue
        far = said_length(way.length_m)
        if number == 0 and with_lengths:
            over = f", over {', '.join(way.crossings)}" if way.crossings else ""
            near = f"{way.bed} at {said_length(way.to_bed_m)}"
            yield f", {far}, {way.minutes:.0f} minutes, nearest bed {near}{over}"
        elif number > 0:
            yield f"; then {far} on to {labels[number]}"


def task_words(task: Task) -> str:
    """Return a task as a sentence or two."""
    scent = f" Scent: {task.scent}." if task.scent else ""
    return f"{task.action.value.capitalize()}, {task.spot.label}: {task.words}{scent}"


def plan_text(plan: Plan) -> str:
    """Return a plan: law and health first, then phases, entries, walks and notes."""
    blocks = [
        _block("Law and health first", plan.cautions),
        _block(
            f"The season, peak breeding about {said_about(plan.peak_on)} {plan.peak_on.year} "
            f"(each date ± {UNSURE_DAYS} days at best)",
            _phase_lines(plan),
        ),
        _block("How often each area is entered", _entry_lines(plan)),
        _block("Walks", (line for walk in plan.walks for line in _walk_lines(walk))),
        _block("Notes", (f"- {note}" for note in plan.notes)),
    ]
    return "\n\n".join(filter(None, blocks)) + "\n"


def _block(heading: str, lines: Iterator[str] | tuple[str, ...]) -> str:
    """Return a heading with its lines, or nothing where there are none."""
    wrapped = [
        textwrap.fill(line, _COLUMNS_WIDE, subsequent_indent=_indent(line), break_long_words=False)
        for line in lines
    ]
    return "\n".join([heading, "-" * len(heading), *wrapped]) if wrapped else ""


def _indent(line: str) -> str:
    """Return how far the later rows of a line stand in."""
    return "  " if line.startswith("- ") else "      " if line.startswith("  [") else ""


def _phase_lines(plan: Plan) -> Iterator[str]:
    """Yield the phases: when, what deer do, what that rests on."""
    for number, span in enumerate(plan.phases):
        said = words_for(span.phase)
        until = (
            f"until {said_about(span.last)}" if number == 0 else f"from {said_about(span.first)}"
        )
        yield f"- {span.phase.value.capitalize()}, {until}: {said.words} ({said.source})"


def _entry_lines(plan: Plan) -> Iterator[str]:
    """Yield how often each area is entered."""
    for area, count in plan.entries.items():
        names = ", ".join(spot.label for spot in plan.spots if spot.area == area)
        yield f"- Area {area} ({names}): {count} {'day' if count == 1 else 'days'}"


def _walk_lines(walk: Walk) -> Iterator[str]:
    """Yield a walk with its tasks."""
    yield f"{walk.on:%A} {said_day(walk.on)}, area {walk.area}: {walk_words(walk)}"
    for task in walk.tasks:
        yield f"  [ ] {task_words(task)}"
