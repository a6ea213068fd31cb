"""What would be asked of whom, before anything is asked: ticks, hosts, bytes, and what is sent."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from funnelfinder.files.sources import Bring, Request, said_bytes
from funnelfinder.units import said_length

from ..controls import Tick, label, link, plain_button
from ..look.said import system
from .step import Foot

if TYPE_CHECKING:
    from ..bringing import Bringing
    from ..desk import Desk

#: What each kind is called, and what it is good for.
WORDS: Final[dict[Bring, tuple[str, str]]] = {
    Bring.ELEVATION: ("Elevation", "The lie of the land. Trips need it."),
    Bring.COVER: ("Land cover", "Woods, fields, water. Trips need it."),
    Bring.CROPS: ("Crops", "What was planted, by field. It makes suggestions of food truer."),
    Bring.PICTURE: ("Aerial picture", "To look at under the marks. Nothing is computed from it."),
}


class BringingCard(QFrame):
    """The question, with a tick for each kind."""

    def __init__(
        self, desk: Desk, bringing: Bringing, choose_table: Callable[[], Path | None]
    ) -> None:
        super().__init__()
        self._desk, self._bringing, self._choose_table = desk, bringing, choose_table
        self.setObjectName("note")
        self.setAccessibleName("What would be asked of whom")
        inner = QVBoxLayout(self)
        inner.setContentsMargins(14, 10, 14, 12)
        inner.setSpacing(2)
        inner.addWidget(label("From public sources", "head"))
        self.ticks: dict[Bring, Tick] = {}
        self.words: dict[Bring, QLabel] = {}
        for kind in Bring:
            inner.addWidget(self._tick(kind))
            self.words[kind] = label("", "small")
            self.words[kind].setContentsMargins(33, 0, 0, 4)
            inner.addWidget(self.words[kind])
        inner.addSpacing(4)
        inner.addWidget(self._sent())
        inner.addSpacing(6)
        self.no = plain_button("No, ask nobody", bringing.say_no, tip="Nothing is asked. Key Esc.")
        inner.addWidget(self.no, 0, Qt.AlignLeft)
        inner.addSpacing(2)
        for one in self._table_links():
            inner.addWidget(one)
        self.refresh()

    def _tick(self, kind: Bring) -> Tick:
        """Return the tick of a kind."""
        word, tip = WORDS[kind]
        tick = Tick(word, tip=tip)
        tick.setChecked(kind in self._bringing.kinds)
        tick.toggled.connect(lambda is_on: self._bringing.choose(kind, is_wanted=is_on))
        self.ticks[kind] = tick
        return tick

    def _sent(self) -> QFrame:
        """Return what is sent, on straw."""
        one = self._desk.open
        surround_m = one.place.settings.ground.surround_m if one is not None else 0.0
        surround = said_length(surround_m, system(self._desk.preferences.units))
        note = QFrame()
        note.setObjectName("caution")
        inner = QVBoxLayout(note)
        inner.setContentsMargins(12, 8, 12, 9)
        inner.addWidget(
            label(
                f"Sent are only the box round your boundary, with {surround} more on each side, "
                "and this program's name; none of your marks. Like any web page, they see "
                "your internet address.",
                "plain",
            )
        )
        return note

    def _table_links(self) -> Iterable[QWidget]:
        """Return how to ask sources of one's own."""
        table = self._bringing.table
        if table:
            yield label(f"Your own table, {Path(table).name}, is asked first.", "small")
            yield link("Leave it out", lambda: self._bringing.use_table(None))
        yield link(
            "Another table of your own" if table else "Sources of your own",
            self._own_table,
            tip="A CSV file with the columns name, kind and address.",
        )

    def _own_table(self) -> None:
        """Ask for a table."""
        path = self._choose_table()
        if path is not None:
            self._bringing.use_table(path)

    def refresh(self) -> None:
        """Show what would be asked now."""
        units_ready = self._bringing.requests is not None
        for kind, tick in self.ticks.items():
            requests = [one for one in self._bringing.requests or () if one.source.kind is kind]
            said = said_requests(requests) if units_ready else "Working out whom to ask."
            self.words[kind].setText(said)
            self.words[kind].setToolTip("\n".join(one.words for one in requests))
            tick.setEnabled(bool(requests) or not units_ready)
            tick.setAccessibleDescription(said)


def said_requests(requests: list[Request]) -> str:
    """Return in words whom one kind is asked of, and about how much comes."""
    if not requests:
        return "No source has this here."
    first, rest = requests[0], requests[1:]
    if not first.is_remote:
        said = f"{first.source.name}, from {first.host}. No network needed."
    else:
        files = "1 file" if first.n_files == 1 else f"{first.n_files} files"
        names = " and the server it names" if first.names_others else ""
        said = (
            f"About {said_bytes(first.about_bytes)} in {files}: {first.source.name}, from "
            f"{first.host}{names}."
        )
    hosts = dict.fromkeys(one.host for one in rest if one.host != first.host)
    if hosts:
        said += f" Where that leaves gaps: {', '.join(hosts)}."
    return said


def question_foot(bringing: Bringing) -> Foot:
    """Return the foot while the question lies there."""
    why_not = bringing.why_not
    if why_not:
        return Foot(line=why_not, button="Yes, bring them in", is_ready=False, tip=why_not)
    if not bringing.asks_network:
        line = "It is read from your own files. Nobody is asked."
    else:
        hosts = {one.host for one in bringing.wanted if one.is_remote and not one.is_fallback}
        services = "1 service" if len(hosts) == 1 else f"{len(hosts)} services"
        line = f"About {said_bytes(bringing.about_bytes)} from {services}. Shall they be asked?"
    return Foot(line=line, button="Yes, bring them in", act=bringing.say_yes)
