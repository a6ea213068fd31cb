"""Log: what was done where and when; the plan moves with it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PyQt5.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QVBoxLayout, QWidget

from funnelfinder.errors import FunnelFinderError
from funnelfinder.season import Done, Visit, said_day

from ..controls import label, link, rule
from ..look.said import said_count
from ..stops import Stop
from .later_pages import LaterPage
from .season_days import typed_date
from .step import Foot, clear

if TYPE_CHECKING:
    from funnelfinder.plan import Spot, Task

    from ..desk import Desk
    from ..season_work import SeasonWork

#: What can be written down, in the words that a person chooses.
WORDS: Final = {
    Done.OPENED: "Opened scrapes",
    Done.FRESHENED: "Freshened them",
    Done.CAMERA_HUNG: "Hung a camera",
    Done.CAMERA_CHECKED: "Checked the camera",
    Done.CAMERA_MOVED: "Moved the camera",
    Done.STAND_HUNG: "Hung a stand",
    Done.SAT: "Sat there",
    Done.SEEN: "Saw deer from afar",
    Done.TAKEN_OVER: "Bucks took the scrapes over",
    Done.DEAD: "The scrapes are dead",
    Done.MOVED: "Moved the scrapes",
}
#: What a log entry does to the plan, where that is not plain.
_EFFECT: Final = {
    Done.TAKEN_OVER: "It is left alone from now on.",
    Done.DEAD: "It is moved.",
    Done.SAT: "The stand rests.",
}
#: Entries that are listed before the rest is asked for.
_FIRST: Final = 12


class LogPage(LaterPage):
    """Writes visits down, and lists them."""

    name = "Log"
    icon = "log"

    def __init__(self, desk: Desk, work: SeasonWork) -> None:
        super().__init__(desk)
        self._work = work
        self._shows_all = False
        self._seen: object = None
        self._form = QWidget()
        form = QVBoxLayout(self._form)
        form.setContentsMargins(0, 0, 0, 0)
        form.setSpacing(4)
        self.what = self._combo(form, "What was done")
        for done, words in WORDS.items():
            self.what.addItem(words, done)
        self.where = self._combo(form, "Where")
        row = QHBoxLayout()
        row.addWidget(label("When", "plain", is_wrapped=False), 1)
        self.when = QLineEdit()
        self.when.setPlaceholderText("today")
        self.when.setAccessibleName("When")
        self.when.setToolTip("Empty is today. Or like 3 October.")
        self.when.setFixedWidth(150)
        row.addWidget(self.when)
        form.addLayout(row)
        self.note = QLineEdit()
        self.note.setPlaceholderText("What you saw, if anything")
        self.note.setAccessibleName("Note")
        form.addWidget(self.note)
        for edit in (self.when, self.note):
            edit.returnPressed.connect(self.write_down)
        self.content.addWidget(self._form)
        self.effect = label("", "second")
        self.effect.hide()
        self.content.addWidget(self.effect)
        self.content.addWidget(rule())
        self._rows = QVBoxLayout()
        self._rows.setSpacing(2)
        self.content.addLayout(self._rows)
        self.links: list[tuple[int, object]] = []

    def _combo(self, form: QVBoxLayout, words: str) -> QComboBox:
        """Add a choice under its words."""
        combo = QComboBox()
        combo.setAccessibleName(words)
        combo.setSizeAdjustPolicy(QComboBox.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(10)
        form.addWidget(label(words, "plain"))
        form.addWidget(combo)
        return combo

    def words(self) -> str:
        """Say what this is for."""
        return "What you did and saw. The plan and the rest of each stand follow it."

    def state_line(self) -> str:
        """Say how much is written down."""
        one = self.desk.open
        if one is None or not one.log:
            return "What you did where, and when."
        last = max(one.log, key=lambda visit: visit.on)
        written = said_count(len(one.log), "entry", "entries")
        return f"{written}; the last on {last.day.day} {last.day:%B}."

    def foot(self) -> Foot:
        """Write it down."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        if not self._work.spots:
            return Foot(
                line="A log needs spots to write about.",
                button="Back to the spots",
                act=lambda: self.desk.go_to(Stop.SPOTS),
            )
        return Foot(
            line="Look yourself over for ticks. Never handle a sick deer; call the agency.",
            button="Write it down",
            act=self.write_down,
        )

    def refresh(self) -> None:
        """Show the log as it is now."""
        spots = self._work.spots
        self._form.setVisible(bool(spots))
        labels = [spot.label for spot in spots]
        if labels != [self.where.itemText(k) for k in range(self.where.count())]:
            here = self.where.currentText()
            self.where.clear()
            for spot in spots:
                self.where.addItem(spot.label, spot)
            self.where.setCurrentIndex(max(self.where.findText(here), 0))
        else:
            for k, spot in enumerate(spots):
                self.where.setItemData(k, spot)
        self._show_rows()
        self.foot_changed.emit()

    def _show_rows(self) -> None:
        """List what was written down, the newest first."""
        one = self.desk.open
        log = one.log if one is not None else ()
        if (log, self._shows_all) == self._seen:
            return
        self._seen = (log, self._shows_all)
        clear(self._rows)
        self.links = []
        order = sorted(range(len(log)), key=lambda k: (log[k].on, k), reverse=True)
        for number in order if self._shows_all else order[:_FIRST]:
            self._add_row(number, log[number])
        if not log:
            self._rows.addWidget(label("Nothing is written down yet.", "second"))
        elif len(order) > _FIRST and not self._shows_all:
            self._rows.addWidget(link(f"All {len(order)} entries", self._show_all))

    def _add_row(self, number: int, visit: Visit) -> None:
        """List one visit with the way to take it back."""
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        note = f"<br>{visit.note}" if visit.note else ""
        words = f"<b>{visit.spot}</b>: {visit.done.value}<br>{said_day(visit.day)}{note}"
        row.addWidget(label(words, "second"), 1)
        back = link("Take back", lambda: self._work.strike_out(number), tip="Undo brings it back.")
        back.setAccessibleName(f"Take back {visit.done.value}, {visit.spot}")
        row.addWidget(back)
        self.links.append((number, back))
        self._rows.addWidget(holder)

    def _show_all(self) -> None:
        """List every entry."""
        self._shows_all = True
        self._show_rows()

    def write_down(self) -> None:
        """Write the visit down, and say what it does to the plan."""
        spot: Spot | None = self.where.currentData()
        done: Done | None = self.what.currentData()
        if spot is None or done is None:
            return
        try:
            on = typed_date(self.when.text(), self._work.today())
        except FunnelFinderError as error:
            self.desk.tell_error(error)
            return
        if self._work.write_down(spot, done, on=on, note=self.note.text().strip()):
            self.note.clear()
            self.when.clear()
            self.effect.setText(said_effect(spot, done, self._work.next_at(spot)))
            self.effect.show()

    def left(self) -> None:
        """Forget what was said of the last entry."""
        self.effect.setText("")
        self.effect.hide()


def said_effect(spot: Spot, done: Done, task: Task | None) -> str:
    """Return what an entry did to the plan."""
    parts = [f"Written down for {spot.label}.", _EFFECT.get(done, "")]
    if task is not None:
        parts.append(f"Next there: {task.action.value}, about {task.on.day} {task.on:%B}.")
    return " ".join(part for part in parts if part)
