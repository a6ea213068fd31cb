"""Take along: points for the GPS in the hand, and paper for the pocket."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt5.QtWidgets import QVBoxLayout, QWidget

from funnelfinder.files.map_picture import draw_map
from funnelfinder.waypoints import WaypointKind

from ..canvas.slip import SlipWords
from ..cards import Card, plugged_in, said_bytes
from ..controls import Tick, label, link, rule
from ..dialogs.files import choose_folder, choose_map_file
from ..paths import properties_folder
from ..stops import Stop
from ..taking import (
    FIRST_FORMATS,
    FORMATS,
    WHAT,
    Load,
    picked_findings,
    points_of,
    said_written,
    write_load,
)
from ..workers import Job, start_job
from .sits_tick import SitsTick
from .small_screens import SmallScreens
from .step import Foot, StepPanel, clear, pair

if TYPE_CHECKING:
    from ..frame.bench import Bench
    from ..runs import Runs
    from ..sits import SitWork
    from ..spot_work import SpotWork
    from ..tending import Tending

CAUTION = (
    "A model proposed these. Check them on foot, on ground you have leave to hunt. "
    "Your boundary is not a survey."
)
_TITLE = "On the small screen"


class TakeAlongPanel(StepPanel):
    """What goes, as which files, where to; and writing it."""

    stop = Stop.TAKE_ALONG
    title = "Take along"

    def __init__(
        self,
        desk: object,
        *,
        runs: Runs,
        tending: Tending,
        spot_work: SpotWork,
        bench: Bench,
        sits: SitWork,
        find_cards: Callable[[], tuple[Card, ...]] = plugged_in,
    ) -> None:
        super().__init__(desk, "Points for the GPS in your hand.")  # type: ignore[arg-type]
        self._runs, self._tending, self._work = runs, tending, spot_work
        self._bench, self.find_cards = bench, find_cards
        self.sits = SitsTick(self.desk, sits)
        self.sits.changed.connect(self.refresh)
        self.screens: SmallScreens | None = None
        self.cards: tuple[Card, ...] = ()
        self.folder: Path | None = None
        self._card: Card | None = None
        self._job: Job | None = None
        self.trouble = self.outcome = ""
        self.what: dict[WaypointKind, Tick] = {}
        self.formats: dict[str, Tick] = {}
        self._counts: dict[WaypointKind, Any] = {}
        self.body = QWidget()
        inner = QVBoxLayout(self.body)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(2)
        self._make_what(inner)
        self._make_formats(inner)
        self._make_where(inner)
        inner.addWidget(rule())
        inner.addWidget(
            link("A map to print…", self._print, tip="A sheet for the wall: PDF or picture.")
        )
        self._small = link("Show the small screen", bench.bring_back)
        inner.addWidget(self._small)
        self.content.addWidget(self.body)
        spot_work.hand_changed.connect(self._hold)
        tending.counted.connect(self._counted)

    def _make_what(self, column: QVBoxLayout) -> None:
        """Lay out what goes, each with its count."""
        column.addWidget(label("What goes", "head"))
        for kind, words, is_on in WHAT:
            tick = Tick(words)
            tick.setChecked(is_on)
            tick.clicked.connect(lambda _on: self.refresh())
            count = label("", "small", is_wrapped=False)
            self.what[kind], self._counts[kind] = tick, count
            column.addLayout(pair(tick, count))
        column.addWidget(self.sits)
        column.addLayout(pair(label("Boundary, as a line", "second"), label("always", "small")))

    def _make_formats(self, column: QVBoxLayout) -> None:
        """Lay out the formats; the last three are one line away."""
        column.addSpacing(6)
        column.addWidget(label("Written as", "head"))
        self._more = QWidget()
        more = QVBoxLayout(self._more)
        more.setContentsMargins(0, 0, 0, 0)
        more.setSpacing(2)
        for number, (name, words, who, is_on) in enumerate(FORMATS):
            tick = Tick(words, tip=f"For {who}.")
            tick.setChecked(is_on)
            tick.clicked.connect(lambda _on: self.refresh())
            self.formats[name] = tick
            row = pair(tick, label(who, "small", is_wrapped=False))
            (column if number < FIRST_FORMATS else more).addLayout(row)
        self._more.hide()
        self.more_formats = link("Three more kinds", self._show_more)
        column.addWidget(self.more_formats)
        column.addWidget(self._more)

    def _make_where(self, column: QVBoxLayout) -> None:
        """Lay out where to."""
        column.addSpacing(6)
        column.addWidget(label("Where to", "head"))
        self._where = QVBoxLayout()
        self._where.setSpacing(2)
        column.addLayout(self._where)
        column.addWidget(
            link("Another folder…", self._choose_folder, tip="Any folder that you can write.")
        )

    def _show_more(self) -> None:
        """Show the formats that few people need, or hide them."""
        is_open = self._more.isVisibleTo(self)
        self._more.setVisible(not is_open)
        self.more_formats.setText("Three more kinds" if is_open else "Only these two kinds")

    # Foot

    def foot(self) -> Foot:
        """Write, or go back to what is missing."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        if not self._tending.taken:
            return Foot(
                line="Nothing picked yet.",
                button="Back to the spots",
                act=lambda: self.desk.go_to(Stop.SPOTS),
            )
        load = self.load()
        n = len(load.points) if load is not None else 0
        where = "to the card" if self._card is not None else "to the folder"
        if not n or load is None or not load.formats:
            missing = "what goes" if not n else "a kind of file"
            return Foot(line=f"Tick {missing}.", button=f"Write points {where}", is_ready=False)
        stale = "" if self._runs.is_up_to_date else "Found before the last change. "
        return Foot(
            line=self.trouble or self.outcome or f"{stale}Nothing there is written over.",
            caution=CAUTION,
            button=f"Write {n} points {where}",
            act=self.write,
        )

    def hint(self) -> str:
        """Say what is seen."""
        return "<b>Click</b> a spot to see it opened on the small screen."

    # Showing

    def entered(self) -> None:
        """Look for cards, and lay the small screens on the bench."""
        self.trouble = self.outcome = ""
        self.look_for_cards()
        self._lay_bench()
        self.sits.take_up()

    def left(self) -> None:
        """Put the names on the map away."""
        self._work.names = {}
        self.screens = None
        self.sits.put_away()

    def _lay_bench(self) -> None:
        """Lay the small screens on the bench where there is something to show."""
        if self._tending.taken and self.screens is None:
            self.screens = SmallScreens(self.desk, self._tending)
            self._bench.lay(_TITLE, self.screens, note="240 × 320 dots")

    def _counted(self) -> None:
        """Show spots that were put by hand once they are counted."""
        if self.desk.here is Stop.TAKE_ALONG:
            self.refresh()

    def refresh(self) -> None:
        """Show what goes now."""
        one = self.desk.open
        has_any = one is not None and one.findings is not None and bool(self._tending.taken)
        self.body.setVisible(has_any)
        if not has_any:
            self.say("Points for the GPS in your hand. First pick spots.")
            self._bench.clear()
            self.screens = None
            self.foot_changed.emit()
            return
        assert one is not None
        assert one.findings is not None
        self.say("Points for the GPS in your hand.")
        if self.desk.here is Stop.TAKE_ALONG:
            self._lay_bench()
        findings = picked_findings(one.findings, self._tending.taken)
        every = points_of(one.place, one.grids, findings, frozenset(WaypointKind))
        for kind, tick in self.what.items():
            n = sum(point.kind is kind for point in every)
            self._counts[kind].setText(str(n) if n else "none")
            tick.setEnabled(n > 0)
        shown = tuple(point for point in every if self.what[point.kind].isChecked())
        if self.screens is not None:
            self.screens.show_points(shown)
        self._work.names = {
            cluster.number: next(
                (point.name for point in shown if point.cluster == cluster.number), ""
            )
            for cluster in self._tending.taken
        }
        self.sits.refresh()
        self._small.setVisible(not self._bench.is_beside)
        self.foot_changed.emit()

    def _hold(self, number: int) -> None:
        """Open the point of the spot in hand."""
        if self.screens is not None:
            self.screens.hold(number)

    # Where to

    def look_for_cards(self) -> None:
        """List the cards that are plugged in, and the folder; the first card is chosen at first."""
        self.cards = self.find_cards()
        if self.folder is None:
            self.folder = properties_folder()
            self._card = self.cards[0] if self.cards else None
        known = {card.path: card for card in self.cards}
        if self._card is not None and self._card.path in known:
            self._card = known[self._card.path]
        self._show_where()

    def _show_where(self) -> None:
        """Show the cards and the folder, the chosen one ticked."""
        assert self.folder is not None
        clear(self._where)
        rows: list[tuple[Card | None, str, str, Path]] = [
            (
                card,
                f"Card {card.name}",
                "locked" if card.is_locked else f"{said_bytes(card.free_bytes)} free",
                card.path,
            )
            for card in self.cards
        ]
        rows.append((None, self.folder.name, "folder", self.folder))
        for card, name, words, path in rows:
            tick = Tick(name, is_round=True, tip=str(path))
            tick.setAutoExclusive(False)
            tick.setChecked(card == self._card)
            tick.clicked.connect(lambda _on, card=card: self._to(card))
            holder = QWidget()
            row = pair(tick, label(words, "small", is_wrapped=False))
            row.setContentsMargins(0, 0, 0, 0)
            holder.setLayout(row)
            self._where.addWidget(holder)

    def _to(self, card: Card | None) -> None:
        """Write to a card, or to the folder."""
        self._card = card
        self.trouble = self.outcome = ""
        self._show_where()
        self.refresh()

    def _choose_folder(self) -> None:
        """Ask for a folder."""
        folder = choose_folder(self)
        if folder is not None:
            self.set_folder(folder)

    def set_folder(self, folder: Path) -> None:
        """Write to a folder."""
        self.folder = folder
        self._to(None)

    # Writing

    def load(self) -> Load | None:
        """Return what would be written now."""
        one = self.desk.open
        if one is None or one.findings is None or self.folder is None:
            return None
        return Load(
            place=one.place,
            grids=one.grids,
            findings=picked_findings(one.findings, self._tending.taken),
            kinds=frozenset(kind for kind, tick in self.what.items() if tick.isChecked()),
            formats=tuple(name for name, tick in self.formats.items() if tick.isChecked()),
            folder=self._card.path if self._card is not None else self.folder,
            card=self._card,
            sits=self.sits.pack(),
        )

    def write(self) -> None:
        """Write it in a thread."""
        load = self.load()
        if load is None or self._job is not None:
            return
        self._job = start_job(
            lambda progress: write_load(load, progress),
            done=self._written,
            failed=self._failed,
            progress=self.desk.go_on,
            stopped=self._ended,
        )
        self.desk.begin_work("Writing the points", self._job.stop)

    def _ended(self) -> None:
        """Note that the work ended."""
        self._job = None
        self.desk.end_work()

    def _written(self, files: Any) -> None:
        """Say what was written where."""
        self._ended()
        self.trouble = ""
        where = self._card.name if self._card is not None else (self.folder or Path()).name
        words = said_written(files, where, is_card=self._card is not None)
        rows = [(one.path.name, said_bytes(one.n_bytes)) for one in files]
        self.outcome = words
        if self._bench.is_beside:
            # Elsewhere the map is behind the bench, and the foot says it alone.
            self.outcome = f"Written to {where}."
            self.desk.tell(SlipWords(title="Written", body=words, rows=rows, width=318))
        self.foot_changed.emit()

    def _failed(self, error: Exception) -> None:
        """Say what went wrong, in the row above the button and on a slip."""
        self._ended()
        self.trouble, self.outcome = str(error), ""
        self.look_for_cards()
        self.foot_changed.emit()
        self.desk.tell_error(error)

    def _print(self) -> None:
        """Ask where a map to print goes, and draw it in a thread."""
        one = self.desk.open
        if one is None or one.findings is None or one.grids is None:
            return
        path = choose_map_file(self, (self.folder or properties_folder()) / f"{one.path.stem}.pdf")
        if path is not None:
            self.print_to(path)

    def print_to(self, path: Path) -> None:
        """Draw a map to print."""
        one = self.desk.open
        if one is None or one.findings is None or one.grids is None or self._job is not None:
            return
        place, grids = one.place, one.grids
        findings = picked_findings(one.findings, self._tending.taken)

        def draw(progress: Any) -> Path:
            progress.step(0.1, "Drawing the map")
            draw_map(place, grids, findings, path)
            return path

        self._job = start_job(draw, done=self._printed, failed=self._failed, stopped=self._ended)
        self.desk.begin_work("Drawing the map", self._job.stop)

    def _printed(self, path: Path) -> None:
        """Say where the map is."""
        self._ended()
        self.desk.tell(
            SlipWords(
                title="Drawn",
                body=f"The map is in {path.name}, in {path.parent}. Print it at full size: its "
                "scale bar then measures true.",
            )
        )
