"""The season's work for the window: the plan as it is now, what is done, and writing it out."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import FunnelFinderError
from funnelfinder.files.calendar_out import write_calendar
from funnelfinder.marks import MarkKind
from funnelfinder.plan import Plan, PlannedWays, Spot, Task, make_plan, spots_of
from funnelfinder.progress import Progress
from funnelfinder.season import Action, Done, Visit, month_day, phase_on

from . import edits
from .canvas.slip import SlipWords
from .cards import said_bytes
from .look.said import said_count
from .taking import picked_findings
from .workers import BrokenWork, Job, Ticket, start_job
from .workers.season_tasks import SheetWish, plan_ways, write_sheet
from .workers.sit_tasks import Basis

if TYPE_CHECKING:
    from funnelfinder.analysis.findings import Findings

    from .desk import Desk
    from .runs import Runs
    from .tending import Tending

#: What is written down when a task is ticked.
DONE_BY: Final = {
    Action.OPEN: Done.OPENED,
    Action.ADD: Done.OPENED,
    Action.FRESHEN: Done.FRESHENED,
    Action.HANG_CAMERA: Done.CAMERA_HUNG,
    Action.CHECK_CAMERA: Done.CAMERA_CHECKED,
    Action.MOVE_CAMERA: Done.CAMERA_MOVED,
    Action.HANG_STAND: Done.STAND_HUNG,
    Action.SIT: Done.SAT,
    Action.MOVE_SCRAPE: Done.MOVED,
}


class SeasonWork(QObject):
    """Plans the open property's season, writes down what is done, and writes the plan out.

    ``written`` tells that a file was written or failed; what is in `said`. ``changed`` tells that
    quiet ways in were found, so that the plan is another.
    """

    written = pyqtSignal()
    changed = pyqtSignal()

    def __init__(self, desk: Desk, runs: Runs, tending: Tending) -> None:
        super().__init__(desk)
        self._desk, self._runs, self._tending = desk, runs, tending
        self.today: Callable[[], date] = lambda: datetime.now().astimezone().date()
        self._plan: Plan | None = None
        self._plan_of: Any = None
        self._spots: tuple[Spot, ...] = ()
        self._spots_of: Any = None
        self._job: Job | None = None
        self._ticket: Ticket | None = None
        self._ways: PlannedWays | None = None
        self._ways_of: Any = None
        self._ways_asked: Any = None
        self._is_wanted = False
        #: What was written last, in words; begins anew with each property.
        self.said = ""
        desk.opened.connect(self._opened)
        desk.changed.connect(self.catch_up)
        desk.work_changed.connect(self.catch_up)

    def _opened(self) -> None:
        """Forget the last property's words."""
        self.said = ""
        self._ways = self._ways_of = self._ways_asked = None

    # The plan

    @property
    def findings(self) -> Findings | None:
        """The findings with the picked spots alone; with all of them where none is picked."""
        one = self._desk.open
        if one is None or one.findings is None:
            return None
        return picked_findings(one.findings, self._tending.taken or one.findings.clusters)

    @property
    def spots(self) -> tuple[Spot, ...]:
        """The spots of the plan, whether there is a peak or not."""
        one, findings = self._desk.open, self.findings
        if one is None or findings is None:
            return ()
        key = (one.place.marks, findings.clusters)
        if self._spots_of is None or self._spots_of[0] is not key[0] or self._spots_of[1] != key[1]:
            self._spots, self._spots_of = spots_of(one.place, findings), key
        return self._spots

    @property
    def plan(self) -> Plan | None:
        """The work of the season as property, spots and log are now; None without a peak."""
        one, findings = self._desk.open, self.findings
        if one is None or findings is None or not one.place.peak_breeding or not findings.clusters:
            return None
        ways = self._ways if self._ways_of == self._ways_key() else None
        key = (one.place, one.log, ways, findings.clusters, self.today())
        if self._plan_of is None or not _same(key, self._plan_of):
            self._plan = make_plan(one.place, findings, today=key[4], log=one.log, ways=ways)
            self._plan_of = key
        return self._plan

    def next_at(self, spot: Spot) -> Task | None:
        """Return the next thing to do at a spot."""
        tasks = self.plan.tasks if self.plan is not None else ()
        return next((task for task in tasks if task.spot.number == spot.number), None)

    def choose_peak(self, day: str) -> None:
        """Take a peak of breeding as ``MM-DD``, or none; trips follow the phase of the date."""
        one = self._desk.open
        if one is None:
            return
        phase = ""
        if day:
            month_day(day)
            settings, velvet = one.place.settings.season, one.place.season.velvet
            phase = phase_on(self._desk.hour.on, day, settings, velvet=velvet).value
        self._desk.do(edits.set_peak_breeding(day, phase))

    # Ways in

    def want(self, is_wanted: bool) -> None:
        """Begin or end to keep the quiet ways in fresh."""
        self._is_wanted = is_wanted
        # What was stopped is sought again when the page is opened again.
        self._ways_asked = self._ways_of
        self.catch_up()

    def _ways_key(self) -> Any:
        """Return what the quiet ways hang on; None where there is nothing to seek them by."""
        one, findings = self._desk.open, self.findings
        if one is None or findings is None or one.grids is None:
            return None
        place = one.place
        if not any(place.of_kind(MarkKind.WAY_IN)) or not self._runs.is_up_to_date:
            return None
        spots = tuple((spot.number, spot.label, spot.x_m, spot.y_m) for spot in self.spots)
        peak = (place.peak_breeding, place.season.phase, place.season.velvet, place.time_zone)
        return (findings.fingerprint, spots, place.stands, peak, self.today())

    def catch_up(self) -> None:
        """Seek quiet ways in for the plan, where they are not known and nothing else runs."""
        key = self._ways_key()
        if not self._is_wanted or key is None or self._desk.work is not None:
            return
        if self.plan is None or key in (self._ways_of, self._ways_asked):
            return
        basis = self._basis()
        if basis is None or not self._runs.lay():
            return
        self._ways_asked = key
        self._desk.begin_work("Seeking quiet ways in", self._runs.worker.stop)
        ticket = self._runs.worker.ask(plan_ways, basis, self.spots)
        ticket.progress.connect(self._desk.go_on)
        ticket.done.connect(lambda ways: self._found_ways(ways, key))
        ticket.failed.connect(self._no_ways)
        ticket.stopped.connect(self._desk.end_work)

    def _basis(self) -> Basis | None:
        """Return what stands and ways are judged on."""
        one, findings = self._desk.open, self.findings
        if one is None or findings is None:
            return None
        return Basis.of(one.place, findings, findings.clusters, on=self.today(), log={})

    def _found_ways(self, ways: PlannedWays, key: Any) -> None:
        """Plan by the quiet ways."""
        self._ways, self._ways_of = ways, key
        self._desk.end_work()
        self.changed.emit()

    def _no_ways(self, error: Exception) -> None:
        """Tell why no quiet way was found; the plan keeps the nearest gates."""
        self._desk.end_work()
        if isinstance(error, BrokenWork):
            raise error
        self._desk.tell_error(error)

    # The log

    def write_down(self, spot: Spot, done: Done, *, on: str = "", note: str = "") -> bool:
        """Write a visit at a spot into the log; raises `RecordError` where the day is none."""
        visit = Visit(
            on=on or self.today().isoformat(),
            done=done,
            x_m=spot.x_m,
            y_m=spot.y_m,
            spot=spot.label,
            note=note,
        )
        return self._desk.do(edits.write_down(visit))

    def tick(self, task: Task) -> None:
        """Write down that a task was done today."""
        self.write_down(task.spot, DONE_BY[task.action])

    def strike_out(self, number: int) -> None:
        """Take a visit out of the log."""
        one = self._desk.open
        if one is not None:
            self._desk.do(edits.strike_out(number, one.log[number]))

    # Writing it out

    @property
    def is_writing(self) -> bool:
        """Whether a file is being written."""
        return self._job is not None or self._ticket is not None

    def write_calendar(self, path: Path) -> None:
        """Write the plan as a calendar or a table, in a thread."""
        one, plan = self._desk.open, self.plan
        if one is None or plan is None or self.is_writing:
            return
        zone, now = one.place.time_zone, datetime.now().astimezone()
        is_table = path.suffix.lower() == ".csv"

        def write(progress: Progress) -> tuple[Path, str]:
            progress.step(0.2, "Writing the calendar")
            write_calendar(plan, path, time_zone=zone, made_at=now)
            return path, _said_plan(plan, zone, is_table=is_table)

        self._job = start_job(
            write,
            done=self._calendar_written,
            failed=self._failed,
            progress=self._desk.go_on,
            stopped=self._end,
        )
        self._desk.begin_work("Writing the calendar", self._job.stop)

    def _calendar_written(self, made: tuple[Path, str]) -> None:
        """Say what was written where."""
        path, words = made
        self._tell(path, f"{words} {path.name} is in {path.parent}.")

    def write_sheet(self, path: Path, *, paper: str, with_winds: bool) -> None:
        """Write the field sheet, in the worker."""
        basis, findings = self._basis(), self.findings
        if basis is None or findings is None or self.is_writing or not self._runs.lay():
            return
        wish = SheetWish(
            basis=basis,
            path=path,
            plan=self.plan,
            ways=self._ways if self._ways_of == self._ways_key() else None,
            paper=paper,
            with_winds=with_winds,
        )
        self._ticket = self._runs.worker.ask(write_sheet, wish, findings)
        self._ticket.progress.connect(self._desk.go_on)
        self._ticket.done.connect(self._sheet_written)
        self._ticket.failed.connect(self._failed)
        self._ticket.stopped.connect(self._end)
        self._desk.begin_work("Drawing the field sheet", self._runs.worker.stop)

    def _sheet_written(self, made: tuple[Path, int]) -> None:
        """Say what was written where."""
        path, n_bytes = made
        self._tell(
            path,
            f"The field sheet is {path.name}, {said_bytes(n_bytes)}, in {path.parent}. Print it at "
            "full size: its scale bars then measure true.",
        )

    def _tell(self, path: Path, words: str) -> None:
        """Say what was written, in the foot and on a slip."""
        self._end()
        self.said = f"Written to {path.name}."
        self._desk.tell(SlipWords(title="Written", body=words, width=318))
        self.written.emit()

    def _end(self) -> None:
        """Note that the work ended."""
        self._job = self._ticket = None
        self._desk.end_work()
        self.written.emit()

    def _failed(self, error: Exception) -> None:
        """Say why nothing was written."""
        self._end()
        self.said = str(error) if isinstance(error, FunnelFinderError) else ""
        self.written.emit()
        if isinstance(error, BrokenWork):
            raise error
        self._desk.tell_error(error)


def _same(one: tuple[Any, ...], other: tuple[Any, ...]) -> bool:
    """Return whether two plans would be the same."""
    return all(one[k] is other[k] for k in range(3)) and one[3:] == other[3:]


def _said_plan(plan: Plan, zone: str, *, is_table: bool) -> str:
    """Return what a written plan holds."""
    if is_table:
        return f"{said_count(len(plan.tasks), 'row')} of work."
    clock = f"by the clock of {zone}" if zone else "by the calendar's own clock"
    walks = said_count(len(plan.walks), "walk")
    return f"{walks} {clock}, with a reminder 15 hours before each."
