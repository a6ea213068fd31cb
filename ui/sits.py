"""Stands, winds and sits of the open property: asked of the worker, kept at hand for all who show.

One question is out at a time; the newest wish wins, so that an arrow which is dragged, a date that
is stepped through and a tree that is moved never queue up behind each other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Final

import numpy as np
from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import FunnelFinderError
from funnelfinder.scrapes import Cluster, middle_m
from funnelfinder.season import Done, Visit
from funnelfinder.stands import JudgedStand, Moment, Sit, Stand, WindTable

from .desk import Desk
from .runs import Runs
from .tending import Tending
from .wind_set import Answers, Wind, Wish
from .workers import BrokenWork
from .workers.sit_tasks import (
    Basis,
    Scent,
    Trees,
    find_trees,
    judge_tree,
    rank_sits,
    scent_of,
    wind_rows,
)

#: A visit this near to a spot counts as a sit there (judgement) [m].
_SAT_NEAR_M: Final = 100.0


class SitWork(QObject):
    """Knows the stands of the picked spots, what each is worth on each wind, and the ways to them.

    ``changed`` tells that any answer, the wind or the stand in hand is another; ``judged`` what a
    place is worth for a stand while the hand points at it.
    """

    changed = pyqtSignal()
    hand_changed = pyqtSignal(str)
    judged = pyqtSignal(object)

    def __init__(self, desk: Desk, runs: Runs, tending: Tending) -> None:
        super().__init__(desk)
        self._desk, self._runs, self._tending = desk, runs, tending
        self.wind = Wind()
        self.in_hand = ""
        self.visits: tuple[Visit, ...] = ()
        #: Whether a page is open that shows stands; nothing is asked otherwise.
        self.is_wanted = False
        self._answers = Answers()
        self._asked: Wish | None = None
        self._is_stopped = False
        self._is_announced = False
        self._pointed: tuple[tuple[float, float], int | None] | None = None
        self._is_judging = False
        desk.opened.connect(self._opened)
        desk.changed.connect(self.catch_up)
        desk.work_changed.connect(self.catch_up)
        desk.hour.changed.connect(self._hour_changed)
        tending.counted.connect(self.catch_up)

    # What is known

    @property
    def spots(self) -> tuple[Cluster, ...]:
        """The spots that stands are for: those that are taken along."""
        return self._tending.taken

    @property
    def can_ask(self) -> bool:
        """Whether stands can be looked for: spots are picked, and found on the ground as it is."""
        return bool(self.spots) and self._runs.is_up_to_date

    @property
    def trees(self) -> Trees | None:
        """The stands, as far as they belong to the property, spots and date as they are now."""
        return self._answers.trees if self._has("trees", self._trees_key()) else None

    @property
    def stands(self) -> tuple[Stand, ...]:
        """The stands in force; empty until they are known."""
        known = self.trees or self._answers.trees
        numbers = {spot.number for spot in self.spots}
        return tuple(one for one in known.stands if one.cluster in numbers) if known else ()

    @property
    def table(self) -> WindTable | None:
        """What the stands are worth by wind, for the speed, sky and date that are set."""
        return self._answers.table if self._has("table", self._table_key()) else None

    @property
    def sits(self) -> tuple[Sit, ...] | None:
        """The sits on the wind that is set, the best first; None until they are ranked."""
        return self._answers.sits if self._has("sits", self._sits_key()) else None

    @property
    def scent(self) -> Scent | None:
        """The scent of the stand in hand on the wind that is set."""
        return self._answers.scent if self._has("scent", self._scent_key()) else None

    @property
    def is_busy(self) -> bool:
        """Whether an answer is on its way."""
        return self._asked is not None

    @property
    def is_stopped(self) -> bool:
        """Whether the person stopped the work; `go_on` takes it up again."""
        return self._is_stopped

    @property
    def moment(self) -> Moment:
        """When somebody sits, and on which wind."""
        return self.wind.moment(self._desk.hour.half)

    def stand(self, name: str) -> Stand | None:
        """Return the stand of a name, in force or only found."""
        known = self._answers.trees
        every = (*self.stands, *(known.others if known is not None else ()))
        return next((one for one in every if one.name == name), None)

    def sit(self, name: str) -> Sit | None:
        """Return the sit of a stand on the wind that is set."""
        return next((one for one in self.sits or () if one.stand.name == name), None)

    def spot_of(self, stand: Stand) -> Cluster | None:
        """Return the spot that a stand hunts."""
        return next((one for one in self.spots if one.number == stand.cluster), None)

    def alerted(self, name: str) -> np.ndarray | None:
        """Return by wind which part of a stand's trips in legal light is alerted, (16,)."""
        table = self.table
        if table is None:
            return None
        for row, stand in enumerate(table.stands):
            if stand.name == name:
                half = list(type(self._desk.hour.half)).index(self._desk.hour.half)
                return np.asarray(table.alerted_part[row, :, half])
        return None

    # What the person sets

    def set_wind(self, wind: Wind) -> None:
        """Take another wind."""
        if wind != self.wind:
            self.wind = wind
            self.changed.emit()
            self.catch_up()

    def hold(self, name: str) -> None:
        """Take a stand in hand by its name; empty puts it down."""
        if name != self.in_hand:
            self.in_hand = name
            self.hand_changed.emit(name)
            self.changed.emit()
            self.catch_up()

    def set_visits(self, visits: Sequence[Visit]) -> None:
        """Take the log, for how rested each stand is."""
        if tuple(visits) != self.visits:
            self.visits = tuple(visits)
            self.catch_up()

    def want(self, is_wanted: bool) -> None:
        """Begin or end to keep the answers fresh."""
        self.is_wanted = is_wanted
        self._is_stopped = False
        self.catch_up()

    def go_on(self) -> None:
        """Take up work that was stopped."""
        self._is_stopped = False
        self.catch_up()

    @property
    def log(self) -> dict[int, list[date]]:
        """When each spot was sat before: the sits of the log, by the spot that they lie near."""
        found: dict[int, list[date]] = {}
        for visit in self.visits:
            if visit.done is not Done.SAT or not self.spots:
                continue
            here = (visit.x_m, visit.y_m)
            far, number = min((math.dist(middle_m(one), here), one.number) for one in self.spots)
            if far <= _SAT_NEAR_M:
                found.setdefault(number, []).append(visit.day)
        return found

    # Asking

    def _has(self, name: str, key: Any) -> bool:
        """Return whether the newest answer belongs to a key."""
        return key is not None and self._answers.keys.get(name) == key

    def _trees_key(self) -> Any:
        """Return what the stands hang on."""
        one = self._desk.open
        if one is None or one.findings is None or not self.can_ask:
            return None
        spots = tuple((one.number, one.name, one.scrapes_m) for one in self.spots)
        place = replace(one.place, picks=(), name="")
        return (place, one.findings.fingerprint, spots, self._desk.hour.on)

    def _table_key(self) -> Any:
        """Return what the wind table hangs on."""
        key = self._trees_key()
        return None if key is None else (*key, self.wind.speed_m_s, self.wind.sky)

    def _sits_key(self) -> Any:
        """Return what the list of sits hangs on."""
        key = self._trees_key()
        return None if key is None else (*key, repr(self.moment), repr(self.log))

    def _scent_key(self) -> Any:
        """Return what the scent on the map hangs on."""
        key = self._trees_key()
        stand = self.stand(self.in_hand)
        return None if key is None or stand is None else (*key, repr(self.moment), stand)

    def _basis(self) -> Basis:
        """Return what the worker needs to know."""
        one = self._desk.open
        assert one is not None
        assert one.findings is not None
        return Basis.of(one.place, one.findings, self.spots, on=self._desk.hour.on, log=self.log)

    def _next_wish(self) -> Wish | None:
        """Return what is not known yet, what is seen first."""
        if self._trees_key() is None:
            return None
        if self.trees is None:
            return Wish(task=find_trees, arguments=(), key=self._trees_key(), name="trees")
        return self._next_of_stands() if self.stands else None

    def _next_of_stands(self) -> Wish | None:
        """Return what is not known yet of the stands."""
        stands, moment = self.stands, self.moment
        held = self.stand(self.in_hand)
        if held is not None and self.scent is None:
            key = self._scent_key()
            return Wish(task=scent_of, arguments=(held, moment), key=key, name="scent")
        if self.sits is None:
            key = self._sits_key()
            return Wish(task=rank_sits, arguments=(stands, moment), key=key, name="sits")
        if self.table is None:
            key = self._table_key()
            return Wish(task=wind_rows, arguments=(stands, moment), key=key, name="table")
        return None

    def catch_up(self) -> None:
        """Ask for the first thing that is not known, unless a question is out."""
        if not self.is_wanted or self._is_stopped or self._asked is not None:
            return
        if self._runs.is_running or (self._desk.work is not None and not self._is_announced):
            return
        wish = self._next_wish()
        if wish is None:
            self._end_work()
            return
        if not self._runs.lay():
            return
        self._asked = wish
        self._announce(wish)
        ticket = self._runs.worker.ask(wish.task, self._basis(), *wish.arguments)
        ticket.progress.connect(self._on_the_way)
        ticket.done.connect(lambda answer: self._done(wish, answer))
        ticket.failed.connect(lambda error: self._failed(wish, error))
        ticket.stopped.connect(self._stopped)

    def _announce(self, wish: Wish) -> None:
        """Say that long work began; a wind that is dragged is followed without words."""
        if wish.name in ("trees", "table") and not self._is_announced:
            self._is_announced = True
            name = "Looking for trees" if wish.name == "trees" else "Trying 16 winds"
            self._desk.begin_work(name, self._runs.worker.stop)

    def _on_the_way(self, share: float, words: str) -> None:
        """Say how far it is."""
        if self._is_announced:
            self._desk.go_on(share, words)

    def _end_work(self) -> None:
        """Say that nothing is under way any more."""
        if self._is_announced:
            self._is_announced = False
            self._desk.end_work()

    def _done(self, wish: Wish, answer: Any) -> None:
        """Take an answer, and ask for the next."""
        if self._asked is not wish:
            return
        self._asked = None
        setattr(self._answers, wish.name, answer)
        self._answers.keys[wish.name] = wish.key
        if wish.name == "trees" and self.in_hand and self.stand(self.in_hand) is None:
            self.in_hand = ""
            self.hand_changed.emit("")
        self.changed.emit()
        self._end_work()
        self.catch_up()

    def _failed(self, wish: Wish, error: Exception) -> None:
        """Tell why there is no answer; the same is not asked again until something changes."""
        if self._asked is not wish:
            return
        self._asked = None
        self._is_stopped = True
        self._end_work()
        if isinstance(error, BrokenWork):
            raise error
        if isinstance(error, FunnelFinderError):
            self._desk.tell_error(error)
        self.changed.emit()

    def _stopped(self) -> None:
        """Wait until the person wants it again."""
        self._asked = None
        self._is_stopped = True
        self._is_judging = False
        self._end_work()
        self.changed.emit()

    def _opened(self) -> None:
        """Forget another property's answers."""
        self._answers, self._asked = Answers(), None
        self.in_hand, self.visits = "", ()
        self._is_stopped = self._is_judging = False
        self._end_work()

    def _hour_changed(self) -> None:
        """Follow the date and the end of the day."""
        self._is_stopped = False
        self.changed.emit()
        self.catch_up()

    # Pointing

    def judge(self, at_m: tuple[float, float], spot: int | None) -> None:
        """Ask what a place is worth for a stand; the newest wish wins, `judged` answers."""
        self._pointed = (at_m, spot)
        self._judge_next()

    def _judge_next(self) -> None:
        """Ask for the place that was wished last."""
        if self._pointed is None or self._is_judging or not self.can_ask or not self._runs.lay():
            return
        (at_m, spot), self._pointed = self._pointed, None
        self._is_judging = True
        ticket = self._runs.worker.ask(judge_tree, self._basis(), at_m, spot)
        ticket.done.connect(self._judged)
        ticket.failed.connect(self._not_judged)
        ticket.stopped.connect(self._stopped)

    def _judged(self, answer: JudgedStand | None) -> None:
        """Pass on what a place is worth."""
        self._is_judging = False
        self.judged.emit(answer)
        self._judge_next()

    def _not_judged(self, error: Exception) -> None:
        """Tell why a place could not be judged."""
        self._is_judging = False
        if isinstance(error, BrokenWork):
            raise error
        self._desk.tell_error(error)
