"""The season's dated work by week: walks with their way in and wind, tasks to tick off."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import groupby
from typing import TYPE_CHECKING, Final

from PyQt5.QtWidgets import QVBoxLayout, QWidget

from funnelfinder.plan import Plan, Task, Walk, walk_words
from funnelfinder.season import BRANCH_WORDS, KEEPING, Action, Visit, said_day

from ..controls import Tick, label, link
from ..look.said import said_count
from .step import clear

if TYPE_CHECKING:
    from ..season_work import SeasonWork

#: Weeks with work that are listed before the rest is asked for.
FIRST_WEEKS: Final = 3
#: Things that were done so lately can be unticked where they were ticked [days].
_LATELY_DAYS: Final = 14
_AT_SCRAPES: Final = (Action.OPEN, Action.ADD, Action.FRESHEN, Action.MOVE_SCRAPE)
_IN_TREES: Final = (Action.HANG_STAND, Action.SIT)


class WorkList(QWidget):
    """Weeks, walks and tasks; made anew only where the plan is another."""

    def __init__(self, work: SeasonWork) -> None:
        super().__init__()
        self._work = work
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._seen: tuple[Plan | None, tuple[Visit, ...], date, bool] | None = None
        self._shows_all = False
        self.ticks: list[tuple[Task, Tick]] = []
        self.done: list[Tick] = []

    def show_plan(self, plan: Plan | None, log: tuple[Visit, ...], today: date) -> None:
        """Show a plan and what was done lately."""
        seen = (plan, log, today, self._shows_all)
        if seen == self._seen:
            return
        self._seen = seen
        clear(self._column)
        self.ticks, self.done = [], []
        self._add_done(log, today)
        if plan is None:
            return
        weeks = [(week, tuple(walks)) for week, walks in groupby(plan.walks, key=_week_of)]
        shown = weeks if self._shows_all else weeks[:FIRST_WEEKS]
        said: set[str] = set()
        for week, walks in shown:
            self._column.addSpacing(6)
            self._column.addWidget(label(f"Week of {said_day(week)}", "head"))
            for walk in walks:
                self._add_walk(walk, said)
        if not weeks:
            self._column.addWidget(label("Nothing is left to do this season.", "second"))
        if len(weeks) > FIRST_WEEKS:
            words = "Fewer weeks" if self._shows_all else f"All {len(weeks)} weeks with work"
            self._column.addWidget(link(words, self._show_all))

    def _show_all(self) -> None:
        """Show all weeks, or the first ones."""
        self._shows_all = not self._shows_all
        if self._seen is not None:
            self.show_plan(*self._seen[:3])

    def _add_done(self, log: tuple[Visit, ...], today: date) -> None:
        """List what was done lately, ticked."""
        lately = [
            (number, visit)
            for number, visit in enumerate(log)
            if today - visit.day <= timedelta(days=_LATELY_DAYS)
        ]
        if not lately:
            return
        self._column.addWidget(label("Done lately", "head"))
        for number, visit in reversed(lately):
            tick = Tick(
                f"{visit.day.day} {visit.day:%b}: {visit.done.value}, {visit.spot}",
                tip="Untick to take it back.",
            )
            tick.setChecked(True)
            tick.clicked.connect(lambda _on, number=number: self._work.strike_out(number))
            self.done.append(tick)
            self._column.addWidget(tick)

    def _add_walk(self, walk: Walk, said: set[str]) -> None:
        """List one walk."""
        self._column.addSpacing(4)
        self._column.addWidget(label(f"<b>{walk.on:%A}, {walk.on.day} {walk.on:%B}</b>", "plain"))
        self._column.addWidget(label(walk_words(walk), "second"))
        for task in walk.tasks:
            tick = Tick(
                f"{task.action.value.capitalize()}, {task.spot.label}",
                tip=f"Tick it when it is done. Until {said_day(task.latest)} at the latest. "
                f"Rests on: {task.source}.",
            )
            tick.clicked.connect(lambda _on, task=task: self._work.tick(task))
            self.ticks.append((task, tick))
            self._column.addWidget(tick)
            words = said_task(task, said)
            if words:
                self._column.addWidget(label(words, "small"))
        care = said_care(walk)
        if care:
            self._column.addWidget(label(f"<b>Care:</b> {care}", "small"))


def _week_of(walk: Walk) -> date:
    """Return the Monday of a walk's week."""
    return walk.on - timedelta(days=walk.on.weekday())


def said_task(task: Task, said: set[str]) -> str:
    """Return what to do; words that were said before are not said again."""
    scent = f"Scent: {task.scent}." if task.scent else ""
    if task.words in said:
        return scent
    said.add(task.words)
    words = task.words
    for always in (BRANCH_WORDS, KEEPING):
        if always in said:
            words = words.replace(always, "").strip()
        elif always in words:
            said.add(always)
    return f"{words} {scent}".strip()


def said_care(walk: Walk) -> str:
    """Return the cautions that belong to what a walk does."""
    actions = {task.action for task in walk.tasks}
    parts: list[str] = []
    if actions & set(_AT_SCRAPES):
        parts.append("rubber gloves at the scrape, long sleeves against ticks")
    if actions & {Action.OPEN, Action.ADD}:
        parts.append("cut only what the owner allows in writing")
    if Action.HANG_STAND in actions:
        parts.append("a second person, harness and haul line; a saw only with both feet down")
    elif actions & set(_IN_TREES):
        parts.append("harness from ground to ground, haul line; tell someone where you are")
    said = "; ".join(parts)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def entries_words(plan: Plan) -> str:
    """Return how often each area is entered."""
    parts = []
    for area, count in plan.entries.items():
        names = ", ".join(spot.label for spot in plan.spots if spot.area == area)
        parts.append(f"{names}: {said_count(count, 'day')}")
    return "Days on which each area is entered. " + ". ".join(parts) + "." if parts else ""
