"""Finding trips and spots in the worker process, and knowing whether findings are up to date."""

from __future__ import annotations

from time import perf_counter
from typing import Any, Final

from PyQt5.QtCore import QObject

from funnelfinder.errors import FunnelFinderError, Stopped
from funnelfinder.marks import MarkKind

from .canvas.slip import SlipWords
from .desk import Desk
from .workers import BrokenWork, Ticket, WorkerProcess, start_job
from .workers.tasks import find, lay_ground

#: Findings that a sitting keeps at hand: one for each phase of the season.
_N_REMEMBERED: Final = 6


class Runs(QObject):
    """Runs the analysis of the open property, one run at a time."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self.worker = WorkerProcess(self)
        self.worker.emptied.connect(self._emptied)
        desk.opened.connect(self._emptied)
        self._grids_there: Any = None
        self._ticket: Ticket | None = None
        self._run_place: Any = None
        self._begun = 0.0
        #: How long the last whole run of this sitting took [s]; None before one.
        self.last_s: float | None = None
        #: The property that the newest findings belong to; None before a run of this sitting.
        self.found_for: Any = None
        #: The newest findings of this sitting with what they belong to, the oldest first.
        self._known: list[tuple[Any, Any]] = []
        desk.opened.connect(self._opened)

    @property
    def is_up_to_date(self) -> bool:
        """Whether the findings belong to the property and grids as they are now."""
        one = self._desk.open
        if one is None or one.findings is None:
            return False
        return self.found_for is not None and same_ground(self.found_for, (one.place, one.grids))

    @property
    def can_run(self) -> bool:
        """Whether there is enough to run on."""
        one = self._desk.open
        if one is None or one.grids is None:
            return False
        kinds = {mark.kind for mark in one.place.marks}
        return {MarkKind.BED, MarkKind.FOOD} <= kinds

    def run(self) -> None:
        """Find trips, pinch points and spots; the findings come to the desk."""
        one = self._desk.open
        if one is None or one.grids is None or self._ticket is not None:
            return
        self.lay()
        self._run_place = (one.place, one.grids)
        self._begun = perf_counter()
        self._ticket = self.worker.ask(find, one.place)
        self._ticket.progress.connect(self._desk.go_on)
        self._ticket.done.connect(self._done)
        self._ticket.failed.connect(self._failed)
        self._ticket.stopped.connect(self._stopped)
        self._desk.begin_work("Weighing the ground", self.worker.stop)

    def recall(self) -> bool:
        """Put findings of this sitting on the desk again if they fit the property as it is now."""
        one = self._desk.open
        if one is None or one.grids is None or self.is_running or self.is_up_to_date:
            return False
        here = (one.place, one.grids)
        fitting = [known for known in self._known if same_ground(known[0], here)]
        if not fitting:
            return False
        self.found_for = here
        one.set_findings(fitting[-1][1])
        return True

    def _remember(self) -> None:
        """Keep the findings on the desk for when the property is as now again."""
        one = self._desk.open
        if one is not None and self.found_for is not None and one.findings is not None:
            self._known = [
                known for known in self._known if not same_ground(known[0], self.found_for)
            ]
            self._known = [*self._known, (self.found_for, one.findings)][-_N_REMEMBERED:]

    @property
    def said_change(self) -> str:
        """What changed since the findings, in words that begin a sentence."""
        one = self._desk.open
        if one is None or self.found_for is None:
            return "Something changed"
        place, grids = self.found_for
        kinds = (
            (grids is not one.grids, "The grids changed"),
            (place.boundary != one.place.boundary, "The boundary changed"),
            (place.cover_table != one.place.cover_table, "The cover table changed"),
            (place.marks != one.place.marks, "The marks changed"),
            (place.season.phase != one.place.season.phase, "The part of the season changed"),
            (place.settings != one.place.settings, "A setting changed"),
            (place.detectors_off != one.place.detectors_off, "What is looked for changed"),
        )
        said = [words for is_other, words in kinds if is_other]
        return said[0] if len(said) == 1 else "Something changed"

    @property
    def is_running(self) -> bool:
        """Whether a whole run is under way."""
        return self._ticket is not None

    @property
    def said_s(self) -> str:
        """How long a run takes, for a button: ", about 9 s"; empty before the first."""
        return f", about {max(round(self.last_s), 1)} s" if self.last_s is not None else ""

    def lay(self) -> bool:
        """Make sure that the worker has the grids; false where there are none."""
        one = self._desk.open
        if one is None or one.grids is None:
            return False
        if self._grids_there is not one.grids:
            self.worker.ask(lay_ground, one.grids)
            self._grids_there = one.grids
        return True

    def close(self) -> None:
        """End the worker process."""
        self.worker.close()

    def _opened(self) -> None:
        """Find out in a thread whether kept findings are still right: hashing grids takes time."""
        one = self._desk.open
        self.found_for = None
        self._known = []
        if one is not None and one.findings is not None and one.grids is not None:
            findings, place, grids = one.findings, one.place, one.grids
            start_job(
                lambda progress: kept_state(findings, place, grids),
                done=self._compared,
                failed=self._desk.tell_error,
            )

    def _compared(self, state: Any) -> None:
        """Note what kept findings belong to."""
        one = self._desk.open
        if state is not None and one is not None and one.grids is state[1]:
            self.found_for = state
            self._remember()
            self._desk.changed.emit()

    def _emptied(self) -> None:
        """Note that the process holds nothing any more."""
        self._grids_there = None

    def _end(self) -> None:
        """Note that the run ended."""
        self._ticket = None
        self._desk.end_work()

    def _done(self, findings: Any) -> None:
        """Put findings on the desk."""
        self.last_s = perf_counter() - self._begun
        self._end()
        one = self._desk.open
        if one is not None:
            self.found_for = self._run_place
            one.set_findings(findings)
            self._remember()

    def _failed(self, error: Exception) -> None:
        """Tell why nothing was found."""
        self._end()
        if isinstance(error, FunnelFinderError):
            self._desk.tell_error(error)
        elif isinstance(error, BrokenWork):
            raise error
        else:
            self._desk.tell_error(error)

    def _stopped(self) -> None:
        """Tell that the run was stopped."""
        self._end()
        words = Stopped("You see the trips from before the change.")
        self._desk.tell(
            SlipWords(title="Stopped", body=words.what, actions=(("Run it", self.run),))
        )


def kept_state(findings: Any, place: Any, grids: Any) -> Any:
    """Return the state that kept findings belong to, or None where the property went on since."""
    from funnelfinder.analysis import place_for_phase, run_fingerprint

    used = place_for_phase(place, place.season.phase)
    mark = run_fingerprint(used, grids, seed=findings.seed, n_redraws=findings.n_redraws)
    return (place, grids) if mark == findings.fingerprint else None


def same_ground(one: Any, other: Any) -> bool:
    """Return whether two states would give the same findings.

    Picks, stands, names, and what of the season trips do not hang on, are set aside.
    """
    (place, grids), (other_place, other_grids) = one, other
    if grids is not other_grids:
        return False
    return bool(place is other_place or _as_run(place) == _as_run(other_place))


def _as_run(place: Any) -> Any:
    """Return a property without what a run does not read."""
    from dataclasses import replace

    from funnelfinder.season import SeasonChoices

    season = SeasonChoices(phase=place.season.phase)
    return replace(
        place, picks=(), stands=(), name="", peak_breeding="", time_zone="", season=season
    )
