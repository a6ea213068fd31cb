"""Camera records for the window: reading tables, and what they say of the trips."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, QPointF, QRectF, Qt, pyqtSignal
from PyQt5.QtGui import QColor, QPainter, QPen

from funnelfinder.errors import FunnelFinderError, RecordError

from . import edits
from .canvas.slip import SlipWords
from .look import colours
from .look.fonts import font
from .look.icons import draw_icon
from .look.said import said_count
from .workers import BrokenWork, Job, start_job
from .workers.season_tasks import watch

if TYPE_CHECKING:
    from funnelfinder.analysis import Watched
    from funnelfinder.evidence import CameraLog

    from .canvas.pane import MapPane
    from .desk import Desk
    from .gestures import Point
    from .runs import Runs
    from .season_work import SeasonWork

#: Places for the next camera that are named and drawn.
N_NEXT = 3
_CAMERA_PX = 24.0


class CameraWork(QObject):
    """Keeps camera records, and asks the worker what they say.

    ``changed`` tells that `newest` is another, or that work began or ended.
    """

    changed = pyqtSignal()

    def __init__(self, desk: Desk, pane: MapPane, runs: Runs, season: SeasonWork) -> None:
        super().__init__(desk)
        self._desk, self._pane, self._runs, self._season = desk, pane, runs, season
        self.newest: Watched | None = None
        self._newest_of: Any = None
        self._asked_of: Any = None
        self._job: Job | None = None
        self._is_wanted = False
        self._is_stopped = False
        #: What reading the last tables came upon.
        self.notes: tuple[str, ...] = ()
        desk.opened.connect(self._opened)
        desk.changed.connect(self.catch_up)
        pane.view.add_over(self._paint)

    def _opened(self) -> None:
        """Forget what belonged to another property."""
        self.newest = self._newest_of = self._asked_of = None
        self.notes = ()

    @property
    def log(self) -> CameraLog | None:
        """The camera records, None where there are none."""
        one = self._desk.open
        log = one.cameras if one is not None else None
        return log if log is not None and log.stays else None

    @property
    def is_asking(self) -> bool:
        """Whether the worker weighs the records."""
        return self._asked_of is not None

    @property
    def is_stopped(self) -> bool:
        """Whether the person stopped that."""
        return self._is_stopped

    # Reading

    def read(self, paths: list[Path]) -> None:
        """Read camera tables in a thread and keep what they hold."""
        one, findings = self._desk.open, self._season.findings
        if one is None or self._job is not None or not paths:
            return
        if findings is None:
            self._desk.tell_error(
                RecordError(
                    "Camera tables need spots to speak of.",
                    where=paths[0].name,
                    remedy="Find the spots first, then add the table again.",
                )
            )
            return
        place = one.place

        def work(progress: Any) -> Any:
            from funnelfinder.analysis import sun_clock
            from funnelfinder.files.cameras_in import read_cameras

            progress.step(0.2, "Reading the camera tables")
            return read_cameras(paths, place, findings, zone=sun_clock(place)[0].zone)

        self._job = start_job(
            work,
            done=self._read,
            failed=self._failed,
            progress=self._desk.go_on,
            stopped=self._end,
        )
        self._desk.begin_work("Reading the camera tables", self._job.stop)

    def _read(self, read: Any) -> None:
        """Keep what was read, and say what it was."""
        from funnelfinder.evidence import CameraLog

        self._end()
        one = self._desk.open
        if one is None:
            return
        before = one.cameras or CameraLog()
        names = said_count(len(read.log.stays), "camera stay")
        seen = said_count(len(read.log.sightings), "sighting")
        self._desk.do(edits.keep_cameras(before.with_records(read.log), "add cameras"))
        self.notes = tuple(read.notes)
        body = " ".join((f"{names}, {seen}.", *self.notes))
        self._desk.tell(SlipWords(title="Cameras added", body=body, width=300))
        self.changed.emit()

    def take_out(self, name: str) -> None:
        """Take out the records of a camera."""
        log = self.log
        if log is None:
            return
        for key in [stay.key for stay in log.stays if stay.name == name]:
            log = log.without(key)
        self._desk.do(edits.keep_cameras(log, f"take {name} out"))

    def _end(self) -> None:
        """Note that reading ended."""
        self._job = None
        self._desk.end_work()
        self.changed.emit()

    def _failed(self, error: Exception) -> None:
        """Tell why nothing was read."""
        self._end()
        if not isinstance(error, FunnelFinderError):
            raise error
        self._desk.tell_error(error)

    # What they say

    def want(self, is_wanted: bool) -> None:
        """Begin or end to keep the answers fresh, and to draw the cameras."""
        self._is_wanted, self._is_stopped = is_wanted, False
        self.catch_up()
        self._pane.view.viewport().update()

    def go_on(self) -> None:
        """Take up work that was stopped."""
        self._is_stopped = False
        self.catch_up()

    def _key(self) -> Any:
        """Return what the answers hang on."""
        one, findings = self._desk.open, self._season.findings
        if one is None or findings is None or self.log is None:
            return None
        clusters = tuple((c.number, c.name, c.scrapes_m) for c in findings.clusters)
        return (one.place.season.phase, one.place.marks, findings.fingerprint, clusters, self.log)

    def catch_up(self) -> None:
        """Ask the worker, where the answers are not those of the property as it is now."""
        key, one = self._key(), self._desk.open
        if key is None and self.newest is not None:
            self.newest = self._newest_of = None
            self.changed.emit()
        if not self._is_wanted or key is None or one is None or self._is_stopped:
            return
        if key in (self._newest_of, self._asked_of) or self._runs.is_running:
            return
        if not self._runs.lay():
            return
        self._asked_of = key
        ticket = self._runs.worker.ask(watch, one.place, self._season.findings, self.log)
        ticket.progress.connect(self._go_on)
        ticket.done.connect(lambda watched: self._watched(watched, key))
        ticket.failed.connect(self._not_watched)
        ticket.stopped.connect(self._was_stopped)
        if self._desk.work is None:
            self._desk.begin_work("Weighing what the cameras saw", self._runs.worker.stop)
        self.changed.emit()

    def _go_on(self, share: float, words: str) -> None:
        """Say how far it is."""
        self._desk.go_on(share, words)

    def _watched(self, watched: Watched, key: Any) -> None:
        """Take what cameras say."""
        if self._asked_of != key:
            return
        self._asked_of = None
        self.newest, self._newest_of = watched, key
        self._desk.end_work()
        self.changed.emit()
        self._pane.view.viewport().update()

    def _not_watched(self, error: Exception) -> None:
        """Tell why cameras say nothing."""
        self._asked_of, self._is_stopped = None, True
        self._desk.end_work()
        self.changed.emit()
        if isinstance(error, BrokenWork):
            raise error
        self._desk.tell_error(error)

    def _was_stopped(self) -> None:
        """Leave it until the person wants it again."""
        self._asked_of, self._is_stopped = None, True
        self._desk.end_work()
        self.changed.emit()

    # The map

    def _paint(self, painter: QPainter, to_screen: Callable[[Point], QPointF]) -> None:
        """Draw the cameras, and dashed where the next would tell most."""
        if not self._is_wanted or self.newest is None:
            return
        painter.save()
        try:
            painter.setRenderHint(QPainter.Antialiasing, True)
            painter.setFont(font(15, bold=True))
            for one in self.newest.cameras:
                self._paint_camera(painter, to_screen((one.visits.x_m, one.visits.y_m)))
            for number, place in reversed(list(enumerate(self.newest.next_places[:N_NEXT], 1))):
                self._paint_next(painter, to_screen((place.x_m, place.y_m)), number)
        finally:
            painter.restore()

    def _paint_camera(self, painter: QPainter, at: QPointF) -> None:
        """Draw one camera."""
        box = _square(at)
        painter.setPen(QPen(QColor(colours.INK), 1.4))
        painter.setBrush(QColor(colours.PAPER))
        painter.drawRoundedRect(box, 4, 4)
        draw_icon(painter, "camera", box.adjusted(3, 3, -3, -3), QColor(colours.INK))

    def _paint_next(self, painter: QPainter, at: QPointF, number: int) -> None:
        """Draw a place for the next camera, dashed, with its number in the list."""
        box = _square(at)
        painter.setBrush(QColor(colours.PAPER))
        painter.setPen(QPen(QColor(colours.PAPER), 5))
        painter.drawRoundedRect(box, 4, 4)
        pen = QPen(QColor(colours.INK), 1.8)
        pen.setDashPattern([3, 2])
        painter.setPen(pen)
        painter.drawRoundedRect(box, 4, 4)
        painter.drawText(box, Qt.AlignCenter, f"{number}")


def _square(at: QPointF) -> QRectF:
    """Return the square of a camera round a place."""
    half = _CAMERA_PX / 2
    return QRectF(at.x() - half, at.y() - half, _CAMERA_PX, _CAMERA_PX)
