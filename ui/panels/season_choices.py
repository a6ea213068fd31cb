"""What a person says of the season: peak, opening, velvet, clock, scent, and a buck's core."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from funnelfinder.errors import FunnelFinderError
from funnelfinder.season import Allowance, PublishedPeak, published_peaks

from .. import edits
from ..controls import Tick, label
from .season_days import said_month_day, typed_day

if TYPE_CHECKING:
    from ..desk import Desk
    from ..season_work import SeasonWork

#: What may be allowed, in the words that a person chooses.
SCENTS: Final = {
    Allowance.UNKNOWN: "Not said yet",
    Allowance.NATURAL: "Natural",
    Allowance.CERTIFIED: "Natural, certified herds only",
    Allowance.SYNTHETIC: "Synthetic only",
    Allowance.NONE: "None at all",
}
#: Clocks of the whitetail's country that are offered; any other can be typed.
ZONES: Final = (
    "America/New_York",
    "America/Indiana/Indianapolis",
    "America/Chicago",
    "America/Denver",
    "America/Phoenix",
    "America/Los_Angeles",
    "America/Toronto",
    "America/Winnipeg",
)
_BY_LONGITUDE: Final = "By the longitude"
_TABLE: Final = "From the published table…"


class SeasonChoicesBox(QWidget):
    """The choices, one under the other; each is kept at once and can be taken back."""

    def __init__(self, desk: Desk, work: SeasonWork) -> None:
        super().__init__()
        self._desk, self._work = desk, work
        self._published: PublishedPeak | None = None
        self._is_showing = False
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(3)
        self.peak = self._day("Peak breeding here", "15 November", self._keep_peak)
        self._add_table()
        self.opening = self._day("Opening day of your season", "26 September", self._keep_opening)
        self.velvet = self._day("Bucks here shed velvet about", "1 September", self._keep_velvet)
        self.zone = self._combo("Clock of the place", (_BY_LONGITUDE, *ZONES))
        self.zone.setEditable(True)
        self.zone.setInsertPolicy(QComboBox.NoInsert)
        self.zone.activated.connect(lambda _index: self._keep_zone())
        edit = self.zone.lineEdit()
        assert edit is not None
        edit.editingFinished.connect(self._keep_zone)
        self.scent = self._combo("Scent that is allowed where you hunt", tuple(SCENTS.values()))
        self.scent.activated.connect(self._keep_scent)
        self._column.addWidget(label("Ask the agency; the program knows no state's law.", "small"))
        self.core = Tick("Plan work in a buck's core too", tip="Usual: never.")
        self.core.clicked.connect(self._keep_core)
        self._column.addWidget(self.core)

    def _day(self, words: str, example: str, keep: Callable[[], None]) -> QLineEdit:
        """Add a day of the year to type, beside its words."""
        edit = QLineEdit()
        edit.setPlaceholderText(example)
        edit.setAccessibleName(words)
        edit.setFixedWidth(132)
        edit.editingFinished.connect(keep)
        row = QHBoxLayout()
        row.addWidget(label(words, "plain"), 1)
        row.addWidget(edit, 0, Qt.AlignTop)
        self._column.addLayout(row)
        return edit

    def _add_table(self) -> None:
        """Add the published table, and what the chosen date rests on."""
        self.table = QComboBox()
        self.table.setAccessibleName(_TABLE)
        self.table.addItem(_TABLE)
        for known in sorted(published_peaks(), key=lambda one: (one.place, one.area)):
            self.table.addItem(f"{known.label}: {said_month_day(known.peak)}", known)
        self.table.setSizeAdjustPolicy(QComboBox.AdjustToMinimumContentsLengthWithIcon)
        self.table.setMinimumContentsLength(10)
        self.table.activated.connect(self._take_published)
        self._column.addWidget(self.table)
        self.source = label("", "small")
        self._column.addWidget(self.source)

    def _combo(self, words: str, entries: tuple[str, ...]) -> QComboBox:
        """Add a choice of several under its words."""
        combo = QComboBox()
        combo.setAccessibleName(words)
        combo.addItems(entries)
        combo.setSizeAdjustPolicy(QComboBox.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(10)
        self._column.addSpacing(2)
        self._column.addWidget(label(words, "plain"))
        self._column.addWidget(combo)
        return combo

    def refresh(self) -> None:
        """Show the choices as they are now."""
        one = self._desk.open
        if one is None:
            return
        self._is_showing = True
        place, chosen = one.place, one.place.season
        for edit, day in (
            (self.peak, place.peak_breeding),
            (self.opening, chosen.opening),
            (self.velvet, chosen.velvet),
        ):
            if not edit.isModified():
                edit.setText(said_month_day(day))
        edit = self.zone.lineEdit()
        if edit is not None and not edit.isModified():
            self.zone.setCurrentText(place.time_zone or _BY_LONGITUDE)
        self.scent.setCurrentIndex(list(SCENTS).index(chosen.allowance))
        self.core.setChecked(chosen.may_enter_core)
        known = self._published
        is_it = known is not None and known.peak == place.peak_breeding
        self.source.setText(said_source(known) if known is not None and is_it else "")
        self.source.setVisible(is_it)
        self._is_showing = False

    # Keeping

    def _typed(self, edit: QLineEdit, where: str, keep: Callable[[str], object]) -> None:
        """Keep a typed day; a refused one goes back, and is told."""
        if not edit.isModified() or self._is_showing:
            return
        edit.setModified(False)
        try:
            keep(typed_day(edit.text(), where=where))
        except FunnelFinderError as error:
            self._desk.tell_error(error)
        self.refresh()

    def _keep_peak(self) -> None:
        """Keep the peak of breeding."""
        self._typed(self.peak, "peak breeding", self._work.choose_peak)

    def _keep_opening(self) -> None:
        """Keep the opening day."""

        def keep(day: str) -> None:
            self._desk.do(edits.choose_for_season("the opening day", opening=day))

        self._typed(self.opening, "season opening", keep)

    def _keep_velvet(self) -> None:
        """Keep when velvet is shed."""

        def keep(day: str) -> None:
            self._desk.do(edits.choose_for_season("the velvet date", velvet=day))

        self._typed(self.velvet, "velvet", keep)

    def _take_published(self, index: int) -> None:
        """Take a published peak, and say what it rests on."""
        known = self.table.itemData(index)
        self.table.setCurrentIndex(0)
        if isinstance(known, PublishedPeak):
            self._published = known
            self.peak.setModified(False)
            self._work.choose_peak(known.peak)
            self.refresh()

    def _keep_zone(self) -> None:
        """Keep the clock of the place."""
        edit, one = self.zone.lineEdit(), self._desk.open
        if self._is_showing or one is None or edit is None:
            return
        edit.setModified(False)
        text = self.zone.currentText().strip()
        name = "" if text in ("", _BY_LONGITUDE) else text
        if name != one.place.time_zone:
            self._desk.do(edits.set_time_zone(name))
        self.refresh()

    def _keep_scent(self, index: int) -> None:
        """Keep what scent is allowed."""
        allowance = list(SCENTS)[index]
        self._desk.do(edits.choose_for_season("the scent that is allowed", allowance=allowance))

    def _keep_core(self, is_on: bool) -> None:
        """Keep whether work in a core may be planned."""
        self._desk.do(edits.choose_for_season("work in a buck's core", may_enter_core=is_on))


def said_source(known: PublishedPeak) -> str:
    """Return what a published date is, whose it is, and how sure that is."""
    span = (
        f", {said_month_day(known.first)} to {said_month_day(known.last)}"
        if known.first and known.last
        else ""
    )
    source = f"{known.source} {known.year}".rstrip()
    said = f"{known.label}: {known.measure}{span}. {source}, {known.sure}."
    return f"{said} Your agency may know better."
