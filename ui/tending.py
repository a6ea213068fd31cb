"""What spots catch together, kept at hand so that a tick changes the total at once."""

from __future__ import annotations

from typing import Any

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.analysis import Tally
from funnelfinder.errors import FunnelFinderError
from funnelfinder.marks import Pick
from funnelfinder.scrapes import Cluster, is_same_place, middle_m, pick_of, with_names

from . import edits
from .desk import Desk
from .runs import Runs
from .stops import Stop
from .workers import BrokenWork
from .workers.tasks import count_spots, judge_spot


class Tending(QObject):
    """The spots of the open property: which there are, which are taken, what they catch.

    ``counted`` tells that shares of any choice are known; ``judged`` a place that the hand points
    at: x, y [m], its share, and the rule it breaks.
    """

    counted = pyqtSignal()
    judged = pyqtSignal(float, float, float, str)

    def __init__(self, desk: Desk, runs: Runs) -> None:
        super().__init__(desk)
        self._desk, self._runs = desk, runs
        self._tally: Tally | None = None
        self._tally_for: Any = None
        self._asked_for: Any = None
        self._is_judging = False
        self._wanted: tuple[float, float] | None = None
        desk.opened.connect(self._opened)
        desk.findings_changed.connect(self._opened)
        desk.changed.connect(self.count)
        desk.went_to.connect(lambda _stop: self.count())

    def _opened(self) -> None:
        """Forget what belonged to other findings."""
        self._tally = self._tally_for = self._asked_for = None
        self._is_judging, self._wanted = False, None

    # What there is

    @property
    def near_m(self) -> float:
        """How near a pick must lie to mean a cluster [m]."""
        one = self._desk.open
        return one.place.settings.redraws.same_place_m if one is not None else 0.0

    @property
    def clusters(self) -> tuple[Cluster, ...]:
        """All spots under the person's names: those found, then those put by hand since."""
        one = self._desk.open
        if one is None or one.findings is None:
            return ()
        found = one.findings.clusters
        if self._tally is not None and self._tally_for is not None:
            found = (*found, *self._tally.clusters[len(found) :])
        own = [pick for pick in one.place.picks if pick.is_by_hand and pick.is_taken]
        kept = [
            cluster
            for cluster in found
            if not cluster.is_by_hand
            or any(is_same_place(cluster, pick, self.near_m) for pick in own)
        ]
        return with_names(kept, one.place.picks, self.near_m)

    def pick_of(self, cluster: Cluster) -> Pick | None:
        """Return what the person decided of a cluster."""
        one = self._desk.open
        return pick_of(cluster, one.place.picks, self.near_m) if one is not None else None

    def is_taken(self, cluster: Cluster) -> bool:
        """Return whether a cluster is taken along."""
        pick = self.pick_of(cluster)
        return pick is not None and pick.is_taken

    def is_left(self, cluster: Cluster) -> bool:
        """Return whether the person left a cluster out."""
        pick = self.pick_of(cluster)
        return pick is not None and not pick.is_taken

    @property
    def taken(self) -> tuple[Cluster, ...]:
        """The clusters that are taken along, under the person's names."""
        return tuple(cluster for cluster in self.clusters if self.is_taken(cluster))

    @property
    def is_counted(self) -> bool:
        """Whether the share of any choice is known."""
        one = self._desk.open
        return (
            self._tally is not None
            and one is not None
            and self._tally_for is not None
            and self._tally_for[1] is one.findings
        )

    def share_of(self, clusters: Any) -> float | None:
        """Return what clusters catch together; None until it is counted."""
        if self._tally is None or not self.is_counted:
            return None
        return self._tally.share_of({cluster.number for cluster in clusters})

    # Counting

    def count(self) -> None:
        """Count in the worker what the spots catch, where that is not known yet."""
        one = self._desk.open
        if (
            one is None
            or one.findings is None
            or self._desk.here not in (Stop.SPOTS, Stop.TAKE_ALONG, Stop.LATER)
            or not self._runs.is_up_to_date
            or self._runs.is_running
        ):
            return
        own = tuple(pick for pick in one.place.picks if pick.is_by_hand and pick.is_taken)
        key = (own, one.findings)
        for known in (self._tally_for, self._asked_for):
            if known is not None and known[0] == own and known[1] is one.findings:
                return
        if not self._runs.lay():
            return
        self._asked_for = key
        ticket = self._runs.worker.ask(count_spots, one.place, one.findings)
        ticket.done.connect(lambda tally, key=key: self._done(tally, key))
        ticket.failed.connect(self._failed)
        ticket.stopped.connect(self._stopped)

    def _done(self, tally: Tally, key: Any) -> None:
        """Take a new count."""
        if self._asked_for is key:
            self._tally, self._tally_for, self._asked_for = tally, key, None
            self.counted.emit()

    def _failed(self, error: Exception) -> None:
        """Tell why nothing was counted."""
        self._is_judging = False
        if isinstance(error, BrokenWork):
            raise error
        if isinstance(error, FunnelFinderError):
            self._desk.tell_error(error)

    def _stopped(self) -> None:
        """Count again when something changes."""
        self._asked_for = None
        self._is_judging = False

    # Pointing

    def judge(self, x_m: float, y_m: float) -> None:
        """Ask what a place would catch; the newest wish wins, `judged` answers."""
        self._wanted = (x_m, y_m)
        self._judge_next()

    def _judge_next(self) -> None:
        """Ask for the place that was wished last."""
        one = self._desk.open
        if one is None or self._wanted is None or self._is_judging or not self._runs.lay():
            return
        (x_m, y_m), self._wanted = self._wanted, None
        self._is_judging = True
        seed = one.findings.seed if one.findings is not None else 1
        ticket = self._runs.worker.ask(judge_spot, one.place, (x_m, y_m), seed)
        ticket.done.connect(self._judged)
        ticket.failed.connect(self._failed)
        ticket.stopped.connect(self._stopped)

    def _judged(self, said: tuple[float, float, float, str]) -> None:
        """Pass on what a place would catch."""
        self._is_judging = False
        self.judged.emit(*said)
        self._judge_next()

    # Deeds

    def take(self, cluster: Cluster, *, is_taken: bool) -> None:
        """Take a spot along, or not."""
        if is_taken:
            self._decide(cluster, "take", is_taken=True)
        else:
            self._forget(cluster, "untick")

    def leave_out(self, cluster: Cluster) -> None:
        """Leave a spot out, so that the next run looks elsewhere."""
        if cluster.is_by_hand:
            self._forget(cluster, "take away")
        else:
            self._decide(cluster, "leave out", is_taken=False)

    def rename(self, cluster: Cluster, name: str) -> None:
        """Give a spot another name."""
        if name.strip() and name.strip() != cluster.name:
            self._decide(cluster, "name", is_taken=True, name=name.strip())

    def take_best(self, n: int = 5) -> None:
        """Take the first few spots."""
        one = self._desk.open
        if one is None:
            return
        best = [one for one in self.clusters if not self.is_left(one)][:n]
        fresh = [_pick(cluster) for cluster in best if self.pick_of(cluster) is None]
        self._desk.do(edits.set_picks((*one.place.picks, *fresh), f"take the best {len(best)}"))

    def put(self, x_m: float, y_m: float, *, note: str = "") -> None:
        """Put a spot by hand and take it."""
        one = self._desk.open
        if one is not None:
            pick = Pick(x_m=x_m, y_m=y_m, is_by_hand=True, name=note)
            self._desk.do(edits.set_picks((*one.place.picks, pick), f"put {note or 'a spot'}"))

    def move(self, cluster: Cluster, x_m: float, y_m: float) -> None:
        """Move a spot: it becomes the person's own, and the old place is left."""
        one = self._desk.open
        if one is None:
            return
        own = self.pick_of(cluster)
        rest = tuple(pick for pick in one.place.picks if pick is not own)
        moved = Pick(x_m=x_m, y_m=y_m, is_by_hand=True, name=cluster.name)
        far = not is_same_place(cluster, moved, self.near_m)
        old = () if cluster.is_by_hand or not far else (_pick(cluster, is_taken=False),)
        self._desk.do(edits.set_picks((*rest, *old, moved), f"move {cluster.name}"))

    def _decide(self, cluster: Cluster, deed: str, *, is_taken: bool, name: str = "") -> None:
        """Keep what the person decided of a cluster."""
        one = self._desk.open
        if one is None:
            return
        own = self.pick_of(cluster)
        rest = tuple(pick for pick in one.place.picks if pick is not own)
        kept = name or (own.name if own is not None else "")
        by_hand = own is not None and own.is_by_hand
        x_m, y_m = (own.x_m, own.y_m) if own is not None else middle_m(cluster)
        new = Pick(x_m=x_m, y_m=y_m, is_taken=is_taken, is_by_hand=by_hand, name=kept)
        self._desk.do(edits.set_picks((*rest, new), f"{deed} {name or cluster.name}"))

    def _forget(self, cluster: Cluster, deed: str) -> None:
        """Take back what the person decided of a cluster."""
        one = self._desk.open
        if one is not None:
            own = self.pick_of(cluster)
            rest = tuple(pick for pick in one.place.picks if pick is not own)
            self._desk.do(edits.set_picks(rest, f"{deed} {cluster.name}"))


def _pick(cluster: Cluster, *, is_taken: bool = True) -> Pick:
    """Return the pick of a cluster."""
    x_m, y_m = middle_m(cluster)
    return Pick(x_m=x_m, y_m=y_m, is_taken=is_taken)
