"""Trips that follow the hand: coarse while a bed or food is dragged, whole once it is let go."""

from __future__ import annotations

import math
from typing import Any

from PyQt5.QtCore import QObject, QTimer, pyqtSignal

from funnelfinder.analysis import Tally, Walked
from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import FunnelFinderError
from funnelfinder.marks import WOODS_FOOD, Mark, MarkKind, Property
from funnelfinder.units import said_length, said_share

from .canvas.slip import SlipWords
from .desk import Desk
from .ground_work import GroundWork
from .look.said import system
from .runs import Runs, same_ground
from .workers import BrokenWork
from .workers.tasks import count_spots, walk_roughly, walk_trips

_WALKERS = (MarkKind.BED, MarkKind.FOOD)
#: Work shorter than this is not announced [ms].
_SOON_MS = 400
_WINDS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


class Following(QObject):
    """Keeps the passage on the map in step with the marks.

    ``walked`` tells new trips; what they are is in `newest`.
    """

    walked = pyqtSignal()

    def __init__(self, desk: Desk, runs: Runs, ground_work: GroundWork) -> None:
        super().__init__(desk)
        self._desk, self._runs, self._ground = desk, runs, ground_work
        self.newest: Walked | None = None
        self._newest_for: Any = None
        self._asked_for: Any = None
        self._seen: Any = None
        self._is_rough_out = False
        self._wanted: Mark | None = None
        self._is_dragging = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_SOON_MS)
        self._soon.timeout.connect(self._announce)
        self._is_announced = False
        self._moved: tuple[Property, Property] | None = None
        desk.opened.connect(self._opened)
        desk.changed.connect(self.catch_up)
        desk.hand_changed.connect(self._warm_up)

    # What is shown

    @property
    def is_current(self) -> bool:
        """Whether the passage on the map belongs to the property as it is now."""
        return self._runs.is_up_to_date or self.is_newer

    @property
    def is_newer(self) -> bool:
        """Whether trips were walked since the findings, and are up to date."""
        here = self._here()
        return (
            here is not None
            and self.newest is not None
            and self._newest_for is not None
            and same_ground(self._newest_for, here)
        )

    @property
    def is_walking(self) -> bool:
        """Whether trips are being walked for the property as it is now."""
        here = self._here()
        return (
            self._asked_for is not None and here is not None and same_ground(self._asked_for, here)
        )

    @property
    def demand(self) -> tuple[tuple[str, str, float], ...]:
        """Who walks where in the trips on the map: bed, food, share of all trips."""
        one = self._desk.open
        if self.newest is not None and self.is_newer:
            return tuple((bed, food, share) for bed, food, share, _ in self.newest.demand)
        if one is None or one.findings is None or not self._runs.is_up_to_date:
            return ()
        return tuple((pair.bed, pair.food, pair.demand) for pair in one.findings.pairs)

    def said_use(self, mark: Mark) -> str:
        """Return how many trips start or end at a mark, and where the others' ends are."""
        if mark.kind not in _WALKERS or not self.demand:
            return ""
        is_bed = mark.kind is MarkKind.BED
        own = [row for row in self.demand if row[0 if is_bed else 1] == mark.label]
        if not own:
            return "No trips start here." if is_bed else "No trips end here."
        own.sort(key=lambda row: -row[2])
        way = "to" if is_bed else "from"
        parts = [f"{100 * share:.0f} {way} {food if is_bed else bed}" for bed, food, share in own]
        total = said_share(sum(share for _, _, share in own))
        ends = "start" if is_bed else "end"
        listed = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
        return f"<b>{total} trips</b> {ends} here, {listed}."

    def _here(self) -> Any:
        """Return the property and grids as they are now."""
        one = self._desk.open
        return None if one is None or one.grids is None else (one.place, one.grids)

    def _opened(self) -> None:
        """Begin anew with another property."""
        self.newest = None
        self._newest_for = self._asked_for = self._wanted = None
        self._is_rough_out = self._is_dragging = False
        self._seen = self._here()

    # While the hand moves

    def try_mark(self, mark: Mark | None) -> None:
        """Follow a mark that is dragged; None lets it go."""
        if mark is None:
            self._is_dragging = False
            self._wanted = None
            return
        if mark.kind in _WALKERS and self._runs.can_run and not self._runs.is_running:
            self._is_dragging = True
            self._wanted = mark
            self._ask_rough()

    def _warm_up(self, key: str) -> None:
        """Weigh coarse ground as soon as a bed or food is in hand: the first move is fast then."""
        one = self._desk.open
        mark = one.in_hand if one is not None else None
        if (
            one is not None
            and mark is not None
            and mark.kind in _WALKERS
            and self._runs.can_run
            and not self._runs.is_running
        ):
            self._runs.lay()
            ticket = self._runs.worker.ask(walk_roughly, one.place, one.place)
            ticket.failed.connect(self._rough_failed)

    def _ask_rough(self) -> None:
        """Ask for a coarse passage unless one is on its way; the newest wish wins."""
        one = self._desk.open
        if one is None or self._wanted is None or self._is_rough_out or not self._runs.lay():
            return
        moved, self._wanted = one.place.with_mark(self._wanted), None
        self._is_rough_out = True
        ticket = self._runs.worker.ask(walk_roughly, moved, one.place)
        ticket.done.connect(self._rough_done)
        ticket.failed.connect(self._rough_failed)
        ticket.stopped.connect(self._rough_stopped)

    def _rough_done(self, walked: Walked) -> None:
        """Show a coarse passage while the hand still moves."""
        self._is_rough_out = False
        if self._is_dragging:
            self._ground.show_passage(walked.passage, walked.grid, is_rough=True)
        self._ask_rough()

    def _rough_failed(self, error: Exception) -> None:
        """Go on without; what is wrong is told once the hand lets go."""
        self._is_rough_out = False
        if isinstance(error, BrokenWork):
            raise error
        self._ask_rough()

    def _rough_stopped(self) -> None:
        """Go on without."""
        self._is_rough_out = False

    # Once it is let go

    def catch_up(self) -> None:
        """Walk the trips of the property as it is now, if that changed."""
        if self._runs.is_running:
            # What changes meanwhile is caught up with once the run is done.
            return
        here = self._here()
        before, self._seen = self._seen, here
        if here is None or before is None or not self._runs.can_run:
            return
        if same_ground(before, here):
            return
        if self._runs.is_up_to_date or self._runs.recall():
            one = self._desk.open
            if one is not None and one.findings is not None:
                self._ground.is_up_to_date = True
                self._ground.show_passage(one.findings.passage, one.findings.grid)
            return
        self._moved = (before[0], here[0]) if before[1] is here[1] else None
        self.walk()

    def walk(self) -> None:
        """Walk the trips of the property as it is now."""
        here = self._here()
        if here is None or not self._runs.lay():
            return
        place, _ = here
        self._asked_for = here
        field = _moved_field(self._moved)
        if field:
            # The cover under a field changes with it; until that is weighed, the old one serves.
            assert self._moved is not None
            ticket = self._runs.worker.ask(walk_trips, place, self._moved[0])
            ticket.done.connect(self._on_old_cover)
            ticket.failed.connect(self._rough_failed)
        ticket = self._runs.worker.ask(walk_trips, place)
        ticket.progress.connect(self._go_on)
        ticket.done.connect(lambda walked, here=here: self._done(walked, here))
        ticket.failed.connect(lambda error, here=here: self._failed(error, here))
        ticket.stopped.connect(lambda here=here: self._stopped(here))
        self._soon.start()

    def _on_old_cover(self, walked: Walked) -> None:
        """Show trips to a field that moved, until its cover is weighed."""
        if not self._is_dragging:
            self._ground.show_passage(walked.passage, walked.grid, is_rough=True)

    def _announce(self) -> None:
        """Say that work goes on, once it takes longer than a moment."""
        if self.is_walking and self._desk.work is None:
            self._is_announced = True
            self._desk.begin_work("Weighing the ground", self._runs.worker.stop)

    def _go_on(self, share: float, words: str) -> None:
        """Say how far it is."""
        if self._is_announced:
            self._desk.go_on(share, words)

    def _end(self, here: Any) -> bool:
        """Note that work ended; return whether it was the newest."""
        is_newest = self._asked_for is here
        if is_newest:
            self._asked_for = None
            self._soon.stop()
            if self._is_announced:
                self._is_announced = False
                self._desk.end_work()
        return is_newest

    def _done(self, walked: Walked, here: Any) -> None:
        """Show new trips."""
        if not self._end(here) or self._is_dragging:
            return
        self.newest, self._newest_for = walked, here
        self._ground.is_up_to_date = True
        self._ground.show_passage(walked.passage, walked.grid)
        self.walked.emit()
        self._desk.changed.emit()
        self._compare()

    def _failed(self, error: Exception, here: Any) -> None:
        """Tell why no trips were walked; the old ones stay under a veil."""
        if not self._end(here):
            return
        if isinstance(error, FunnelFinderError):
            self._desk.tell_error(error)
            self._desk.changed.emit()
        else:
            raise error

    def _stopped(self, here: Any) -> None:
        """Tell that the trips on the map are those from before."""
        if not self._end(here):
            return
        one = self._desk.open
        actions: list[Any] = [("Run it", self.walk)]
        if one is not None and one.history.next_undo is not None:
            actions.append(("Undo the change", one.undo))
        self._desk.tell(
            SlipWords(
                title="Stopped",
                body="You see the trips from before the change.",
                actions=tuple(actions),
            )
        )
        self._desk.changed.emit()

    # What a move changed

    def _compare(self) -> None:
        """Count the spots again after a move, for the slip that says what it changed."""
        one = self._desk.open
        moved = _moved_mark(self._moved)
        if one is None or one.findings is None or moved is None or not one.findings.clusters:
            return
        findings, place = one.findings, one.place
        ticket = self._runs.worker.ask(count_spots, place, findings)
        ticket.done.connect(
            lambda counted, moved=moved, place=place, findings=findings: self._tell_move(
                counted, moved, place, findings
            )
        )
        ticket.failed.connect(self._rough_failed)

    def _tell_move(
        self, counted: Tally, moved: tuple[Mark, Mark], place: Property, findings: Findings
    ) -> None:
        """Lay the slip of a move: how far, and the two places that changed most."""
        one = self._desk.open
        if one is None or one.place is not place or self._is_dragging:
            return
        before, after = moved
        units = system(self._desk.preferences.units)
        old, new = before.geometry.centroid, after.geometry.centroid
        east, north = new.x - old.x, new.y - old.y
        far = said_length(math.hypot(east, north), units)
        wind = _WINDS[round(math.degrees(math.atan2(east, north)) / 45.0) % 8]
        changes = []
        for cluster in findings.clusters:
            now = counted.share_of([cluster.number])
            changes.append((abs(now - cluster.share), cluster, now))
        changes.sort(key=lambda change: (-change[0], change[1].number))
        self._desk.tell(
            SlipWords(
                title=f"Moved {far} {wind}" if math.hypot(east, north) >= 1 else "Shaped",
                rows=[
                    (
                        f"{cluster.number} {cluster.name}",
                        f"{100 * cluster.share:.0f} → {said_share(now)}",
                    )
                    for _, cluster, now in changes[:2]
                ],
                actions=(("Put it back", one.undo),),
                at_m=(float(new.x), float(new.y)),
                width=270,
            )
        )


def _moved_mark(moved: tuple[Property, Property] | None) -> tuple[Mark, Mark] | None:
    """Return the bed or food of which only the place changed, before and after."""
    if moved is None:
        return None
    before = {mark.key: mark for mark in moved[0].marks}
    changed = [mark for mark in moved[1].marks if before.get(mark.key) is not mark]
    if len(changed) != 1 or len(before) != len(moved[1].marks):
        return None
    old = before.get(changed[0].key)
    if old is None or changed[0].kind not in _WALKERS or old.geometry is changed[0].geometry:
        return None
    return old, changed[0]


def _moved_field(moved: tuple[Property, Property] | None) -> bool:
    """Return whether a field moved, whose cover moves with it; acorns stand in the woods."""
    one = _moved_mark(moved)
    return (
        one is not None and one[1].kind is MarkKind.FOOD and one[1].crop.lower() not in WOODS_FOOD
    )
