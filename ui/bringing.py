"""Bringing in grids and pictures from public sources: asked first, then done, and stopped at will.

Nothing is asked of anybody before the person said yes to what is laid out in words.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import FunnelFinderError
from funnelfinder.files import property_file
from funnelfinder.ground import Origin

from . import edits
from .canvas.slip import SlipWords, trouble_words
from .desk import Desk
from .kept_pictures import KeptPictures
from .look.said import said_spacing, system
from .open_property import OpenProperty
from .stops import Stop
from .workers import BrokenWork, WorkerProcess, start_job
from .workers.bring_tasks import bring

if TYPE_CHECKING:
    from funnelfinder.files.sources import Bring, BroughtIn, Request

UNHARMED = "Your property is as before."


class Bringing(QObject):
    """What is brought in for the open property.

    ``changed`` tells that the question is another, or what was brought in; ``asks`` that the
    question was laid before the person.
    """

    changed = pyqtSignal()
    asks = pyqtSignal()

    def __init__(self, desk: Desk, pictures: KeptPictures) -> None:
        super().__init__(desk)
        self._desk, self._pictures = desk, pictures
        #: Whether it lies before the person what would be asked of whom.
        self.is_asking = False
        #: What would be asked for all kinds; None until it is worked out.
        self.requests: tuple[Request, ...] | None = None
        self.kinds: frozenset[Bring] = frozenset()
        #: Where crops and picture of the open property are from.
        self.origins: tuple[Origin, ...] = ()
        self._sources: tuple[Any, ...] = ()
        self._worker: WorkerProcess | None = None
        self._for: OpenProperty | None = None
        desk.opened.connect(self._opened)
        pictures.kept.connect(self.read_origins)

    # The question

    @property
    def is_busy(self) -> bool:
        """Whether something is being brought in."""
        return self._worker is not None

    @property
    def table(self) -> str:
        """The person's own table of sources, or an empty text."""
        return self._desk.preferences.source_table

    def begin(self) -> None:
        """Lay out what would be asked of whom; nothing is asked yet."""
        one = self._desk.open
        if one is None or self.is_busy:
            return
        if one.is_only_looking:
            self._desk.tell(SlipWords(title="Only looking", body="Another window works on it."))
            return
        self.is_asking, self.requests = True, None
        self.kinds = self._first_kinds(one)
        place, table = one.place, self.table
        start_job(
            lambda progress: _planned(place, table), done=self._planned, failed=self._not_planned
        )
        self._desk.go_to(Stop.GROUND)
        self.changed.emit()
        self.asks.emit()

    def choose(self, kind: Bring, *, is_wanted: bool) -> None:
        """Want a kind, or not."""
        self.kinds = self.kinds | {kind} if is_wanted else self.kinds - {kind}
        self.changed.emit()

    def use_table(self, path: Path | None) -> None:
        """Ask the sources of a table of the person's own before the shipped ones, or no longer."""
        table = str(path) if path is not None else ""
        self._desk.prefer(replace(self._desk.preferences, source_table=table))
        self.begin()

    def say_no(self) -> None:
        """Put the question away; nothing was asked."""
        self.is_asking = False
        self.changed.emit()

    @property
    def wanted(self) -> tuple[Request, ...]:
        """What would be asked for the kinds that are wanted."""
        return tuple(one for one in self.requests or () if one.source.kind in self.kinds)

    @property
    def about_bytes(self) -> int:
        """About how many bytes come if the first source of each kind has all."""
        return sum(one.about_bytes for one in self.wanted if not one.is_fallback)

    @property
    def asks_network(self) -> bool:
        """Whether anybody is asked at all."""
        return any(one.is_remote for one in self.wanted)

    @property
    def why_not(self) -> str:
        """Why yes cannot be said yet, or an empty text."""
        from funnelfinder.files.sources import Bring

        one = self._desk.open
        if self.requests is None:
            return "Working out whom to ask."
        if not self.kinds:
            return "Tick what you want."
        halves = {Bring.ELEVATION, Bring.COVER} & self.kinds
        if len(halves) == 1 and one is not None and one.grids is None:
            return "Elevation and land cover come together the first time."
        return ""

    @staticmethod
    def _first_kinds(one: OpenProperty) -> frozenset[Bring]:
        """Return what is ticked at first: what trips need, or nothing where that is there."""
        from funnelfinder.files.sources import Bring

        return frozenset({Bring.ELEVATION, Bring.COVER} if one.grids is None else ())

    def _planned(self, planned: tuple[tuple[Any, ...], tuple[Request, ...]]) -> None:
        """Show what would be asked."""
        self._sources, self.requests = planned
        self.changed.emit()

    def _not_planned(self, error: Exception) -> None:
        """Tell what is wrong with a table of sources; the shipped ones are there again."""
        self.is_asking = False
        if not isinstance(error, FunnelFinderError):
            raise error
        self._desk.prefer(replace(self._desk.preferences, source_table=""))
        self.changed.emit()
        self._desk.tell_error(error)

    # The deed

    def say_yes(self) -> None:
        """Ask the sources."""
        one = self._desk.open
        if one is None or self.why_not or self.is_busy or self._desk.work is not None:
            return
        self.is_asking = False
        self._for = one
        self._worker = WorkerProcess(self)
        ticket = self._worker.ask(
            bring, one.place, (_in_order(self.kinds), self._sources), one.grids
        )
        ticket.progress.connect(self._desk.go_on)
        ticket.done.connect(self._done)
        ticket.failed.connect(self._failed)
        ticket.stopped.connect(self._stopped)
        self._desk.begin_work("Bringing in", self._worker.stop)
        self.changed.emit()

    def _end(self) -> None:
        """Note that the work ended."""
        worker, self._worker = self._worker, None
        if worker is not None:
            worker.close()
            worker.deleteLater()
        self._desk.end_work()
        self.changed.emit()

    def _failed(self, error: Exception) -> None:
        """Tell what went wrong, in the words of the command line."""
        self._end()
        if isinstance(error, BrokenWork):
            raise error
        words = trouble_words(error, unharmed=UNHARMED)
        self._desk.tell(replace(words, actions=(("Try again", self.begin),)))

    def _stopped(self) -> None:
        """Tell that it was stopped."""
        self._end()
        self._desk.tell(
            SlipWords(
                title="Stopped",
                body=f"{UNHARMED} What came so far is kept on this computer for the next time.",
                actions=(("Go on", self.begin),),
            )
        )

    def _done(self, brought: BroughtIn) -> None:
        """Take what came: grids as a change that can be undone, picture and crops beside them."""
        one, self._for = self._for, None
        self._end()
        if one is None or one is not self._desk.open:
            return
        if brought.grids is not None:
            table = brought.table if brought.table is not None else one.place.cover_table
            self._desk.do(edits.take_grids(brought.grids, table, deed="bring in the grids"))
        if brought.crops is not None or brought.picture is not None:
            self._pictures.keep(
                crops=brought.crops, picture=brought.picture, origins=brought.origins
            )
        self._desk.tell(
            SlipWords(
                title="It is here",
                body=said_brought(brought, system(self._desk.preferences.units)),
                width=318,
            )
        )

    # What was brought in before

    def _opened(self) -> None:
        """Find out where crops and picture of another property are from."""
        self.is_asking = False
        self.origins = ()
        if self._worker is not None:
            self._worker.stop()
        self.read_origins()

    def read_origins(self) -> None:
        """Read in a thread where crops and picture are from."""
        one = self._desk.open
        if one is not None:
            path = one.path
            start_job(
                lambda progress: (path, property_file.load_origins(path)),
                done=self._origins_read,
                failed=self._desk.tell_error,
            )

    def _origins_read(self, read: tuple[Path, tuple[Origin, ...]]) -> None:
        """Show where they are from."""
        one = self._desk.open
        if one is not None and one.path == read[0]:
            self.origins = tuple(
                origin for origin in read[1] if origin.kind in ("crops", "picture")
            )
            self.changed.emit()


def _in_order(kinds: frozenset[Bring]) -> tuple[Bring, ...]:
    """Return kinds in the order that they are asked for."""
    from funnelfinder.files.sources import Bring

    return tuple(kind for kind in Bring if kind in kinds)


def _planned(place: Any, table: str) -> tuple[tuple[Any, ...], tuple[Request, ...]]:
    """Return the sources and what all of them would be asked; runs in a thread."""
    from funnelfinder.files.sources import Bring, planned, usual_sources, with_own

    sources = with_own(Path(table), usual_sources()) if table else usual_sources()
    return sources, planned(place, sources, tuple(Bring))


def said_brought(brought: BroughtIn, units: Any) -> str:
    """Return in a few sentences what came, and which part came from where."""
    words = []
    if brought.grids is not None:
        elevation = said_spacing(brought.grids.elevation.source_cell_m, units)
        cover = said_spacing(brought.grids.cover.source_cell_m, units)
        words.append(f"Elevation every {elevation}, cover every {cover}.")
    parts = [note for note in brought.notes if " of the extent" in note]
    words += parts or ["All of the extent is covered."]
    words.append("It is kept in the property and needs no network from now on.")
    return " ".join(words)
