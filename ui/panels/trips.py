"""Trips: where deer walk from beds to food."""

from __future__ import annotations

from collections.abc import Callable

from ..controls import label
from ..look.said import said_count
from ..stops import Stop
from .step import Foot, StepPanel, clear


class TripsPanel(StepPanel):
    """Runs the trips and says what they rest on."""

    stop = Stop.TRIPS
    title = "Trips"

    def __init__(
        self,
        desk: object,
        *,
        run: Callable[[], None],
        can_run: Callable[[], bool],
        is_up_to_date: Callable[[], bool],
    ) -> None:
        super().__init__(desk)  # type: ignore[arg-type]
        self._run, self._can_run, self._is_up_to_date = run, can_run, is_up_to_date

    def foot(self) -> Foot:
        """Run, stop, or go on."""
        work = self.desk.work
        if work is not None:
            return Foot(
                line=f"{work.words}.", button="Stop", act=self.desk.stop_work, share=work.share
            )
        one = self.desk.open
        if not self._can_run():
            return Foot(
                line="Trips need grids, one bed and one food.",
                button="Find the trips",
                is_ready=False,
            )
        if one is None or one.findings is None:
            return Foot(line="All that trips need is here.", button="Find the trips", act=self._run)
        if not self._is_up_to_date():
            return Foot(
                line="Something changed since these trips were found.",
                button="Bring up to date",
                act=self._run,
            )
        return Foot(
            line="The trips are up to date.",
            button="Next: look at the spots",
            act=lambda: self.desk.go_to(Stop.SPOTS),
        )

    def refresh(self) -> None:
        """Show what was found."""
        clear(self.content)
        one = self.desk.open
        self.foot_changed.emit()
        if one is None or one.findings is None:
            self.say("Deer walk from where they bed to what they eat, and stray on the way.")
            return
        self.say(f"{said_count(len(one.findings.pairs), 'pair')} of bed and food are walked.")
        for note in one.findings.notes:
            self.content.addWidget(label(note, "second"))
