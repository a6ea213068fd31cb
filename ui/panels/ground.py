"""Ground: the boundary, which grids it needs and where they come from, and what was read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout

from funnelfinder.ground import Grids, Origin
from funnelfinder.tile_names import PublicGrid, public_grids
from funnelfinder.units import said_area, said_length

from ..controls import label, link, plain_button, rule
from ..look.said import said_date, said_spacing, system
from ..stops import Stop
from .bringing_card import WORDS, BringingCard, question_foot
from .step import Foot, StepPanel, clear

if TYPE_CHECKING:
    from ..bringing import Bringing

YOURS = "This line is yours, not a survey. Posted signs and painted lines on the ground outrank it."
_MOST_FILES = 4


class GroundPanel(StepPanel):
    """What the ground is made of, and what it still needs."""

    stop = Stop.GROUND
    title = "Ground"

    def __init__(
        self,
        desk: object,
        *,
        add_grids: Callable[[], None],
        shape_boundary: Callable[[], None],
        waiting: Callable[[], tuple[str, str]],
        bringing: Bringing,
        choose_table: Callable[[], Path | None],
    ) -> None:
        super().__init__(desk)  # type: ignore[arg-type]
        self._add_grids = add_grids
        self._shape_boundary = shape_boundary
        self._waiting = waiting
        self.bringing = bringing
        self._choose_table = choose_table
        self.card: BringingCard | None = None
        self._was_asking = False
        self._shows_sources = False
        self._seen: object = None
        bringing.changed.connect(self._bringing_changed)

    def foot(self) -> Foot:
        """Ask for the grids, or go on to the marks."""
        one = self.desk.open
        if self.desk.work is not None:
            work = self.desk.work
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        if one is None:
            return Foot(line="Click around your ground on the map.")
        if self.bringing.is_asking:
            return question_foot(self.bringing)
        if one.grids is None:
            elevation, cover = self._waiting()
            if elevation or cover:
                line = f"Elevation is here ({elevation}). Now the land cover."
                if cover:
                    line = f"Land cover is here ({cover}). Now the elevation."
                return Foot(line=line, button="Add grids", act=self._add_grids, tip="Ctrl+Enter.")
            return Foot(
                line="Now the ground itself: one elevation grid and one land-cover grid.",
                button="Bring in the grids",
                act=self.bringing.begin,
                tip="From public sources. It says first whom it asks. Ctrl+Enter.",
            )
        return Foot(
            line="The ground is ready.",
            button="Next: draw what you know",
            act=lambda: self.desk.go_to(Stop.MARKS),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        if self.desk.open is None:
            return ""
        if self.desk.open.grids is None:
            return "<b>Drop</b> both grids here, if you have them."
        return "<b>Drag</b> to look around. The <b>wheel</b> comes closer."

    def step_back(self) -> None:
        """Say no to what is asked."""
        if self.bringing.is_asking:
            self.bringing.say_no()

    def refresh(self) -> None:
        """Show boundary, grids and what they need."""
        one = self.desk.open
        state = (
            one.place.boundary if one else None,
            one.grids if one else None,
            self._waiting(),
            self._shows_sources,
            self.desk.preferences.units,
            self.bringing.is_asking,
            self.bringing.table,
            self.bringing.origins,
        )
        self.foot_changed.emit()
        if self._seen is not None and all(
            a is b or (not isinstance(a, Grids) and a == b)
            for a, b in zip(state, self._seen, strict=True)  # type: ignore[call-overload]
        ):
            return
        self._seen = state
        self._to_top()
        clear(self.content)
        self.card = None
        if one is None:
            self.say("A boundary comes first: the ground you have permission to hunt.")
            self.content.addWidget(self._caution())
            return
        units = system(self.desk.preferences.units)
        area = said_area(one.place.boundary.area, units)
        if one.grids is None:
            self.say(f"{area}. Trips need to know the lie of the land and what grows on it.")
            if self.bringing.is_asking:
                self._show_question()
            else:
                self._show_needs()
        else:
            self.say(f"{area}, with the ground around it.")
            if self.bringing.is_asking:
                self._show_question()
            self._show_read(one.grids)
        self._show_boundary()

    def _show_boundary(self) -> None:
        """Offer to shape the boundary, with its caution."""
        self.content.addWidget(rule())
        self.content.addWidget(self._caution())
        self.content.addWidget(
            link("Shape the boundary", self._shape_boundary, tip="Drag its corners on the map.")
        )

    @staticmethod
    def _caution() -> QFrame:
        """Return the caution that stands wherever a boundary is drawn."""
        note = QFrame()
        note.setObjectName("caution")
        inner = QVBoxLayout(note)
        inner.setContentsMargins(14, 10, 14, 11)
        inner.addWidget(label(YOURS, "plain"))
        return note

    def _to_top(self) -> None:
        """Show the beginning where the step turns from one thing to another."""
        if self.bringing.is_asking != self._was_asking:
            self._was_asking = self.bringing.is_asking
            above = self.parentWidget()
            while above is not None and not isinstance(above, QScrollArea):
                above = above.parentWidget()
            if above is not None:
                above.verticalScrollBar().setValue(0)

    def _show_question(self) -> None:
        """Lay out what would be asked of whom."""
        self.card = BringingCard(self.desk, self.bringing, self._choose_table)
        self.content.addWidget(self.card)

    def _bringing_changed(self) -> None:
        """Show the question as it is now."""
        self.refresh()
        if self.card is not None:
            self.card.refresh()

    def _show_needs(self) -> None:
        """Name the files that this boundary needs."""
        one = self.desk.open
        assert one is not None
        elevation, cover = self._waiting()
        found = public_grids(
            one.place.boundary.bounds, one.place.epsg, one.place.settings.ground.surround_m
        )
        self.content.addWidget(
            label("They can be brought in from public sources, or be files that you have.", "plain")
        )
        own = plain_button("Add files", self._add_grids, tip="Or drop them on the window.")
        self.content.addWidget(own, 0, Qt.AlignLeft)
        for kind, here in (("elevation", elevation), ("land cover", cover)):
            self.content.addWidget(self._need(kind, here, [g for g in found if g.kind == kind]))
        self.content.addWidget(
            link(
                "Only the first of each" if self._shows_sources else "Where to get others",
                self._toggle,
                tip="Public grids over this place, free to download.",
            )
        )

    def _need(self, kind: str, here: str, grids: list[PublicGrid]) -> QFrame:
        """Return what one kind of grid needs."""
        note = QFrame()
        note.setObjectName("note")
        inner = QVBoxLayout(note)
        inner.setContentsMargins(14, 10, 14, 11)
        inner.setSpacing(2)
        head = QHBoxLayout()
        head.addWidget(label(f"One {kind.replace(' ', '-')} grid", "head", is_wrapped=False))
        head.addStretch(1)
        head.addWidget(label("here" if here else "missing", "small", is_wrapped=False))
        inner.addLayout(head)
        if here:
            inner.addWidget(label(here, "small"))
            return note
        for number, grid in enumerate(grids if self._shows_sources else grids[:1]):
            if number:
                inner.addSpacing(6)
            inner.addWidget(label(f"{grid.product}, {grid.agency}", "plain"))
            if grid.files:
                names = "\n".join(grid.files[:_MOST_FILES])
                more = len(grid.files) - _MOST_FILES
                names += f"\nand {more} more" if more > 0 else ""
                files = label(names, "small")
                files.setTextInteractionFlags(Qt.TextSelectableByMouse)
                files.setAccessibleName("Names of the files")
                inner.addWidget(files)
            inner.addWidget(label(f"{grid.cell.capitalize()}, {grid.size_mb}.", "small"))
            address = label(grid.address.removeprefix("https://"), "small")
            address.setTextInteractionFlags(Qt.TextSelectableByMouse)
            inner.addWidget(address)
            if grid.caution:
                inner.addWidget(label(grid.caution, "small"))
        return note

    def _show_read(self, grids: Grids) -> None:
        """Say what was read."""
        units = system(self.desk.preferences.units)
        one = self.desk.open
        assert one is not None
        surround = said_length(one.place.settings.ground.surround_m, units)
        spacing = {
            "Elevation": said_spacing(grids.elevation.source_cell_m, units),
            "Cover": said_spacing(grids.cover.source_cell_m, units),
        }
        words = f"Elevation every {spacing['Elevation']}, cover every {spacing['Cover']}, "
        self.content.addWidget(label(f"{words}out to {surround} around.", "plain"))
        notes = [text for text in grids.notes if text not in grids.credits]
        for text in notes or ["Nothing is missing."]:
            self.content.addWidget(label(text, "second" if notes else "plain"))
        origins = (*grids.origins, *self.bringing.origins)
        if not grids.origins:
            sources = f"From {grids.elevation.source} and {grids.cover.source}."
            self.content.addWidget(label(sources, "small"))
        for text in said_origins(origins):
            self.content.addWidget(label(text, "small"))
        again = plain_button("Other grids", self._add_grids, tip="Read other files instead.")
        self.content.addWidget(again, 0, Qt.AlignLeft)
        if not self.bringing.is_asking:
            tip = "From public sources. It says first whom it asks."
            words = "Bring in a picture, crops, or newer grids"
            self.content.addWidget(link(words, self.bringing.begin, tip=tip))

    def _toggle(self) -> None:
        """Show every source, or the first of each kind."""
        self._shows_sources = not self._shows_sources
        self.refresh()


def said_origins(origins: tuple[Origin, ...]) -> list[str]:
    """Return one line for each source: what it gave, when it came, and its licence."""
    names = {kind.value: word for kind, (word, _) in WORDS.items()}
    lines = []
    for one in origins:
        parts = [f"{names.get(one.kind, one.kind)}: {one.source}, {said_date(one.on)}"]
        parts += [one.credit] if one.credit else [one.file]
        parts += [one.licence] if one.licence else []
        lines.append(". ".join(parts) + ".")
    return list(dict.fromkeys(lines))
