"""The one thing that changes: the property that is open, its grids and findings, and its undo.

Everything else in the window is a view of it and hears of changes by its signals.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import FunnelFinderError
from funnelfinder.files import property_file
from funnelfinder.ground import Grids
from funnelfinder.marks import Mark, Property
from funnelfinder.season import Visit

from .edits import Edit
from .gestures import Outlook
from .keeper import Keeper
from .undo import Held, Step, UndoStack

if TYPE_CHECKING:
    from funnelfinder.evidence import CameraLog


class OpenProperty(QObject):
    """A property file that is open for work.

    ``place_changed``, ``grids_changed`` and ``findings_changed`` say what changed;
    ``history_changed`` that undo or redo mean something else now; ``kept_changed`` that writing
    is done or failed; ``looked`` asks the map to go back to an outlook; ``hand_changed`` that
    another mark (its key, or empty) is in hand.
    """

    place_changed = pyqtSignal()
    grids_changed = pyqtSignal()
    findings_changed = pyqtSignal()
    history_changed = pyqtSignal()
    kept_changed = pyqtSignal()
    hand_changed = pyqtSignal(str)
    looked = pyqtSignal(object)
    #: A change that was refused: the error to tell.
    refused = pyqtSignal(object)

    def __init__(
        self,
        path: Path,
        held: Held,
        findings: Findings | None = None,
        *,
        is_only_looking: bool = False,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.path = path
        self.is_only_looking = is_only_looking
        self.was_left_open: datetime | None = None
        self._held = held
        self._findings = findings
        self._undo = UndoStack()
        self._hand = ""
        self._hold: property_file.Hold | None = None
        self.unkept: tuple[Exception, str] | None = None
        self.kept_at = datetime.now()
        #: Where one is looking, asked at each change; the map sets it.
        self.outlook: Callable[[], Outlook | None] = lambda: None
        self.keeper = Keeper(self)
        self.keeper.kept.connect(self._was_kept)
        self.keeper.failed.connect(self._was_not_kept)

    @classmethod
    def opened(cls, path: Path, *, is_only_looking: bool = False) -> OpenProperty:
        """Open a property file; raises `PropertyFileError`."""
        lock = path.with_name(f".{path.name}.lock")
        left = datetime.fromtimestamp(lock.stat().st_mtime) if lock.exists() else None
        hold = None if is_only_looking else property_file.hold(path)
        try:
            kept = property_file.load(path)
            log, cameras = property_file.load_log(path), property_file.load_cameras(path)
        except FunnelFinderError:
            if hold is not None:
                hold.release()
            raise
        one = cls(
            path,
            Held(place=kept.place, grids=kept.grids, log=log, cameras=cameras),
            kept.findings,
            is_only_looking=is_only_looking,
        )
        one._hold = hold
        one.was_left_open = left if not is_only_looking else None
        return one

    @classmethod
    def created(cls, path: Path, place: Property) -> OpenProperty:
        """Make the file of a new property and open it; raises `PropertyFileError`."""
        property_file.create(path, place)
        return cls.opened(path)

    @property
    def place(self) -> Property:
        """The property as it is now."""
        return self._held.place

    @property
    def grids(self) -> Grids | None:
        """The grids under it."""
        return self._held.grids

    @property
    def log(self) -> tuple[Visit, ...]:
        """What was done where and when, in the order written down."""
        return self._held.log

    @property
    def cameras(self) -> CameraLog | None:
        """The camera records."""
        return self._held.cameras

    @property
    def findings(self) -> Findings | None:
        """The newest findings, up to date or not."""
        return self._findings

    @property
    def history(self) -> UndoStack:
        """What was done in this sitting."""
        return self._undo

    @property
    def in_hand(self) -> Mark | None:
        """The mark that the person works on."""
        return next((mark for mark in self.place.marks if mark.key == self._hand), None)

    def take_in_hand(self, key: str) -> None:
        """Take a mark in hand by its key; empty puts it down."""
        if key != self._hand:
            self._hand = key
            self.hand_changed.emit(key)

    def do(self, edit: Edit) -> bool:
        """Make a change, keep it, and return whether it was made; `refused` tells why not."""
        before = self._held
        if self.is_only_looking:
            self.refused.emit(_only_looking(self.place.name))
            return False
        try:
            after = edit.apply(before)
        except FunnelFinderError as error:
            self.refused.emit(error)
            return False
        if after.grids is before.grids and replace(after, grids=None) == replace(
            before, grids=None
        ):
            return False
        self._undo.did(
            Step(
                name=edit.name,
                before=before,
                after=after,
                outlook=self.outlook(),
                group=edit.group,
            )
        )
        self._become(after, edit.name)
        return True

    def undo(self) -> None:
        """Take the last change back."""
        step = self._undo.undo()
        if step is not None:
            self._become(step.before, f"undo: {step.name}")
            if step.outlook is not None:
                self.looked.emit(step.outlook)

    def redo(self) -> None:
        """Do the last change again that was taken back."""
        step = self._undo.redo()
        if step is not None:
            self._become(step.after, step.name)
            if step.outlook is not None:
                self.looked.emit(step.outlook)

    def go_to(self, n_done: int) -> None:
        """Undo or redo until ``n_done`` steps are done."""
        while self._undo.n_done > n_done and self._undo.next_undo is not None:
            self.undo()
        while self._undo.n_done < n_done and self._undo.next_redo is not None:
            self.redo()

    def set_findings(self, findings: Findings | None) -> None:
        """Take new findings and keep them; they are no step of undo."""
        self._findings = findings
        if findings is not None and not self.is_only_looking:
            path = self.path
            self.keeper.keep(
                "findings", lambda: property_file.save_findings(path, findings), "what was found"
            )
        self.findings_changed.emit()

    def close(self) -> bool:
        """Write what waits and let the file go; false if something could not be written."""
        is_written = self.keeper.finish()
        if is_written:
            self.let_go()
        return is_written

    def let_go(self) -> None:
        """Let the file go whatever waits."""
        self.keeper.forget()
        if self._hold is not None:
            self._hold.release()
            self._hold = None

    def _become(self, held: Held, deed: str) -> None:
        """Take a new state, keep it, and tell."""
        before, self._held = self._held, held
        path, place, grids = self.path, held.place, held.grids
        if grids is not before.grids:
            self._keep_grids(deed)
        if place != before.place:
            self.keeper.keep("place", lambda: property_file.save_place(path, place), deed)
        self._keep_records(before, deed)
        self.history_changed.emit()
        self.kept_changed.emit()
        if grids is not before.grids:
            self.grids_changed.emit()
        if place != before.place:
            if self._hand and self.in_hand is None:
                self.take_in_hand("")
            self.place_changed.emit()

    def _keep_grids(self, deed: str) -> None:
        """Keep other grids, or that there are none, in one step with what their codes mean."""
        path, epsg, grids = self.path, self.place.epsg, self._held.grids
        table = self.place.cover_table

        def write() -> None:
            if grids is None:
                property_file.forget_grids(path, epsg=epsg, table=table)
            else:
                property_file.save_brought(path, epsg=epsg, grids=grids, table=table)

        self.keeper.keep("grids", write, deed)

    def _keep_records(self, before: Held, deed: str) -> None:
        """Keep log and camera records where they are others."""
        path, epsg, log, cameras = self.path, self.place.epsg, self._held.log, self._held.cameras
        if log != before.log:
            self.keeper.keep("log", lambda: property_file.save_log(path, log, epsg=epsg), deed)
        if cameras is not None and cameras != before.cameras:

            def write() -> None:
                property_file.change_cameras(path, lambda _kept: cameras, epsg=epsg)

            self.keeper.keep("cameras", write, deed)

    def _was_kept(self) -> None:
        """Note that all is written."""
        self.unkept = None
        self.kept_at = datetime.now()
        self.kept_changed.emit()

    def _was_not_kept(self, error: Exception, deed: str) -> None:
        """Note that the last change waits."""
        self.unkept = (error, deed)
        self.kept_changed.emit()


def _only_looking(name: str) -> FunnelFinderError:
    """Return why nothing can be changed in a property that another window works on."""
    return FunnelFinderError(
        "Another window works on this property; here it is only looked at.",
        where=name,
        remedy="Close the other window and open it again.",
    )
