"""Season: what to do at each spot and when, and taking that along."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt5.QtWidgets import QHBoxLayout

from funnelfinder.plan import Plan, plan_cautions
from funnelfinder.season import said_about

from ..canvas.stand_slip import caution_frame
from ..controls import Segments, Tick, label, link, rule
from ..dialogs.files import choose_new_file
from ..look.said import said_count
from ..paths import properties_folder
from ..stops import Stop
from .later_pages import LaterPage
from .season_choices import SCENTS, SeasonChoicesBox
from .season_days import said_month_day
from .step import Foot
from .work_list import WorkList, entries_words

if TYPE_CHECKING:
    from ..desk import Desk
    from ..season_work import SeasonWork

_PAPERS = ("letter", "A4")


class SeasonPage(LaterPage):
    """Choices for the season, the dated work, and the files that it goes into."""

    name = "Season"
    icon = "season"

    def __init__(
        self,
        desk: Desk,
        work: SeasonWork,
        open_table: Callable[[], None],
        has_band: Callable[[], bool],
    ) -> None:
        super().__init__(desk)
        self._has_band = has_band
        self._work = work
        self.open_table = open_table
        self._is_open: bool | None = None
        self._is_entered = False
        frame, self.caution = caution_frame("")
        self.content.addWidget(frame)
        self.more = link("All of law and health", self._show_cautions)
        self.content.addWidget(self.more)
        self.cautions = label("", "second")
        self.cautions.hide()
        self.content.addWidget(self.cautions)
        self._said = label("", "plain")
        self.content.addWidget(self._said)
        self.change = link("Change these", self._open_choices)
        self.content.addWidget(self.change)
        self.choices = SeasonChoicesBox(desk, work)
        self.content.addWidget(self.choices)
        self.content.addWidget(rule())
        self.list = WorkList(work)
        self.content.addWidget(self.list)
        self._entries = label("", "small")
        self._notes = label("", "small")
        self.content.addWidget(self._entries)
        self.content.addWidget(self._notes)
        self._add_files()
        work.written.connect(self.foot_changed)
        work.changed.connect(self._plan_changed)

    def _add_files(self) -> None:
        """Lay out the work table, the calendar and the sheet."""
        self.content.addWidget(rule())
        tip = "What is done where and when, and what each rule rests on."
        self.content.addWidget(link("Open the work table", self.open_table, tip=tip))
        self.calendar = link("Write a calendar or a table…", self._choose_calendar)
        self.calendar.setToolTip("A calendar file (.ics) for a phone, or a table (.csv).")
        self.content.addWidget(self.calendar)
        row = QHBoxLayout()
        row.addWidget(label("Field sheet on", "plain", is_wrapped=False), 1)
        self.paper = Segments(_PAPERS, name="Paper of the field sheet")
        self.paper.choose(_PAPERS[0])
        self.paper.chosen.connect(self._choose_paper)
        self._paper = _PAPERS[0]
        row.addWidget(self.paper, 1)
        self.content.addLayout(row)
        self.winds = Tick("With the winds of each stand", tip="Takes longer to write.")
        self.content.addWidget(self.winds)

    # What it is called, and how far it is

    def words(self) -> str:
        """Say where the season stands."""
        plan = self._work.plan
        if plan is None:
            return "What to do at each spot, and when."
        n = len(plan.tasks)
        about = f"{said_about(plan.peak_on)} {plan.peak_on.year}"
        return f"<b>{said_count(n, 'thing')} to do</b>. Breeding peaks about {about}."

    def state_line(self) -> str:
        """Say how much there is to do."""
        one = self.desk.open
        if one is None or not one.place.peak_breeding:
            return "Set when breeding peaks here."
        plan = self._work.plan
        if plan is None:
            return "Dated work for the spots you find."
        if not plan.walks:
            return "Nothing is left to do this season."
        walk = plan.walks[0]
        return f"{said_count(len(plan.walks), 'walk')}; the next on {walk.on.day} {walk.on:%B}."

    def foot(self) -> Foot:
        """Write the sheet, or say what is missing."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        one, findings = self.desk.open, self._work.findings
        if one is None or findings is None or not findings.clusters:
            return Foot(
                line="The season's work needs spots.",
                button="Back to the spots",
                act=lambda: self.desk.go_to(Stop.SPOTS),
            )
        line = self._work.said or "Dates are about: a week either way."
        if not one.place.peak_breeding:
            line = "Work hangs on the peak of breeding."
        return Foot(
            line=line,
            button="Write the field sheet",
            act=self._choose_sheet,
            is_ready=bool(one.place.peak_breeding),
        )

    def hint(self) -> str:
        """Say what the hand can do."""
        if not self._has_band():
            return ""
        return "<b>Drag</b> the date below the map: trips follow the season."

    # What is shown

    def entered(self) -> None:
        """Seek quiet ways in for the plan."""
        self._is_entered = True
        self._work.want(True)

    def left(self) -> None:
        """Fold the choices again."""
        self._is_open = None
        self._is_entered = False
        self._work.want(False)

    def _plan_changed(self) -> None:
        """Show the plan with its quiet ways, behind a drawer that is shut too."""
        if self._is_entered:
            self.refresh()

    def _open_choices(self) -> None:
        """Show the choices, or fold them."""
        self._is_open = not self.choices.isVisibleTo(self)
        self.refresh()

    def _show_cautions(self) -> None:
        """Show all cautions, or the first only."""
        is_open = self.cautions.isVisibleTo(self)
        self.cautions.setVisible(not is_open)
        self.more.setText("All of law and health" if is_open else "Less of law and health")

    def refresh(self) -> None:
        """Show the season as it is now."""
        one = self.desk.open
        if one is None:
            return
        plan = self._work.plan
        first, *others = plan_cautions(one.place.season.allowance)
        self.caution.setText(
            f"{first} Check with the agency before you put out anything that smells of deer."
        )
        self.cautions.setText("<br><br>".join(others))
        has_peak = bool(one.place.peak_breeding)
        is_open = self._is_open if self._is_open is not None else not has_peak
        self.choices.setVisible(is_open)
        self.choices.refresh()
        self._said.setVisible(has_peak)
        self._said.setText(self._said_choices())
        self.change.setVisible(has_peak)
        self.change.setText("Fold these away" if is_open else "Change these")
        self.list.show_plan(plan, one.log, self._work.today())
        self._show_notes(plan)
        self.calendar.setEnabled(plan is not None)
        self.foot_changed.emit()

    def _show_notes(self, plan: Plan | None) -> None:
        """Say how often each area is entered, and what was left out."""
        entries = entries_words(plan) if plan is not None else ""
        self._entries.setText(entries)
        self._entries.setVisible(bool(entries))
        notes = "<br>".join(plan.notes) if plan is not None else ""
        self._notes.setText(notes)
        self._notes.setVisible(bool(notes))

    def _said_choices(self) -> str:
        """Return the choices in a line or two."""
        one = self.desk.open
        if one is None:
            return ""
        season = one.place.season
        opening = said_month_day(season.opening)
        scent = SCENTS[season.allowance].lower()
        return (
            f"Peak {said_month_day(one.place.peak_breeding)}, "
            f"{f'opening {opening}' if opening else 'no opening day yet'}, scent: {scent}."
        )

    # Writing

    def _choose_paper(self, paper: str) -> None:
        """Take another paper."""
        self._paper = paper

    def _first(self, end: str) -> Path:
        """Return a name for a file."""
        one = self.desk.open
        return properties_folder() / f"{one.path.stem if one is not None else 'season'}{end}"

    def _choose_calendar(self) -> None:
        """Ask where the calendar goes."""
        path = choose_new_file(
            self, "A calendar or a table", self._first("-season.ics"), (".ics", ".csv")
        )
        if path is not None:
            self._work.write_calendar(path)

    def _choose_sheet(self) -> None:
        """Ask where the field sheet goes."""
        path = choose_new_file(self, "A field sheet", self._first("-field-sheet.pdf"), (".pdf",))
        if path is not None:
            self.write_sheet_to(path)

    def write_sheet_to(self, path: Path) -> None:
        """Write the field sheet."""
        self._work.write_sheet(path, paper=self._paper.lower(), with_winds=self.winds.isChecked())
