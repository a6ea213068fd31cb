"""Passage in legal light: asked of the worker for the hour that is set, and laid on the map."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import FunnelFinderError
from funnelfinder.scrapes import Cluster

from .desk import Desk
from .following import Following
from .ground_work import GroundWork
from .runs import Runs
from .stand_words import said_light
from .tending import Tending
from .workers import BrokenWork
from .workers.sit_tasks import Basis, InLight, passage_in_light


class Daylight(QObject):
    """Keeps the passage on the map in legal light while that is wanted.

    ``changed`` tells that shares in legal light are others.
    """

    changed = pyqtSignal()

    def __init__(
        self,
        desk: Desk,
        runs: Runs,
        tending: Tending,
        *,
        ground_work: GroundWork,
        following: Following,
    ) -> None:
        super().__init__(desk)
        self._desk, self._runs, self._tending = desk, runs, tending
        self._ground, self._following = ground_work, following
        self._asked: Any = None
        self._answer: InLight | None = None
        self._answer_for: Any = None
        self._is_announced = False
        desk.opened.connect(self._opened)
        desk.hour.changed.connect(self._hour_changed)
        desk.findings_changed.connect(self.catch_up)
        desk.changed.connect(self.catch_up)
        desk.work_changed.connect(self.catch_up)
        following.walked.connect(self.catch_up)

    @property
    def can_show(self) -> bool:
        """Whether there are trips that belong to the property as it is now."""
        one = self._desk.open
        return one is not None and one.findings is not None and self._following.is_current

    @property
    def is_behind(self) -> bool:
        """Whether legal light is wanted and not yet on the map."""
        return self._desk.hour.is_in_light and self._answer_for != self._key()

    def said_of(self, spot: Cluster) -> str:
        """Return in words how a spot's trips come in legal light; empty until it is known."""
        hour = self._desk.hour
        if self._answer is None or self.is_behind or not hour.is_in_light:
            return ""
        light = self._answer.spots.get((spot.number, hour.half))
        return said_light(light, hour.half, self._answer.day) if light is not None else ""

    def _key(self) -> Any:
        """Return what the answer hangs on."""
        one = self._desk.open
        if one is None or one.findings is None or not self.can_show:
            return None
        hour = self._desk.hour
        place = replace(one.place, picks=(), stands=(), name="")
        spots = tuple((spot.number, spot.scrapes_m) for spot in self._tending.clusters)
        return (place, one.findings.fingerprint, spots, hour.on, hour.half)

    def _hour_changed(self) -> None:
        """Follow the hour, or show all trips again."""
        if not self._desk.hour.is_in_light:
            self._ground.show_light(None)
            self._answer = self._answer_for = None
            self.changed.emit()
        self.catch_up()

    def catch_up(self) -> None:
        """Ask for what is wanted and not known; the newest hour wins."""
        key = self._key()
        if not self._desk.hour.is_in_light or key is None or self._asked is not None:
            return
        if self._answer_for == key:
            if not self._ground.light_words:
                self._show()
            return
        if self._runs.is_running or (self._desk.work is not None and not self._is_announced):
            return
        self._ask(key)

    def _ask(self, key: Any) -> None:
        """Ask for the passage in legal light."""
        one = self._desk.open
        if one is None or one.findings is None or not self._runs.lay():
            return
        hour = self._desk.hour
        self._asked = key
        basis = Basis.of(one.place, one.findings, self._tending.clusters, on=hour.on, log={})
        self._is_announced = True
        self._desk.begin_work("Counting what comes in legal light", self._runs.worker.stop)
        ticket = self._runs.worker.ask(passage_in_light, basis, hour.half)
        ticket.progress.connect(self._desk.go_on)
        ticket.done.connect(self._done)
        ticket.failed.connect(self._failed)
        ticket.stopped.connect(self._stopped)

    def _done(self, answer: InLight) -> None:
        """Lay the passage in legal light on the map."""
        self._answer, self._answer_for, self._asked = answer, self._asked, None
        self._end()
        if self._desk.hour.is_in_light:
            self._show()
        self.changed.emit()
        self.catch_up()

    def _show(self) -> None:
        """Show the answer in the place of all trips."""
        if self._answer is not None:
            on, half = self._answer.day.on, self._answer.half
            words = f"in legal light, {half.value}, {on.day} {on:%B}"
            self._ground.show_light(self._answer.passage_per_m, words)

    def _end(self) -> None:
        """Say that the work ended."""
        self._is_announced = False
        self._desk.end_work()

    def _failed(self, error: Exception) -> None:
        """Tell why, and show all trips."""
        self._give_up()
        if isinstance(error, BrokenWork):
            raise error
        if isinstance(error, FunnelFinderError):
            self._desk.tell_error(error)

    def _stopped(self) -> None:
        """Show all trips."""
        self._give_up()

    def _give_up(self) -> None:
        """Want it no more."""
        self._asked = None
        self._desk.hour.set(is_in_light=False)
        self._end()

    def _opened(self) -> None:
        """Forget another property's answers."""
        self._asked = self._answer = self._answer_for = None
        self._desk.hour.set(is_in_light=False)
