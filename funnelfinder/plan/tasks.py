"""What a plan is made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from funnelfinder.plan.spots import Spot
from funnelfinder.plan.ways_in import WayIn
from funnelfinder.season import Action, Phase, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One thing to do at one spot on one day.

    ``rule`` and ``source`` say what it rests on; ``latest`` is the last day on which the rule
    allows it; ``scent`` is in general words, within what the person allows.
    """

    on: date
    latest: date
    spot: Spot
    action: Action
    rule: str
    phase: Phase
    words: str
    scent: str
    hours: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """Everything done in one area on one day at one time: in by one way, out again.

    ``winds`` are those to keep off, by where they come from; ``ways`` the way to the first spot
    and from each spot to the next, None where none was sought or found; ``stand`` the one that is
    sat.
    """

    on: date
    area: int
    hours: str
    way_in: str
    winds: tuple[str, ...]
    tasks: tuple[Task, ...]
    ways: tuple[WayIn | None, ...] = ()
    stand: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A season's work.

    ``entries`` counts the days on which each area is entered; ``notes`` say what was left out
    and why.
    """

    property_name: str
    peak_on: date
    phases: tuple[Span, ...]
    spots: tuple[Spot, ...]
    tasks: tuple[Task, ...]
    walks: tuple[Walk, ...]
    entries: dict[int, int]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
