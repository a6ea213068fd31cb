"""Later: stands, winds, season, cameras."""

from __future__ import annotations

from ..stops import Stop
from .step import Foot, StepPanel


class LaterPanel(StepPanel):
    """Says what comes after the first evening."""

    stop = Stop.LATER
    title = "Later"

    def foot(self) -> Foot:
        """Go back to the spots."""
        return Foot(
            line="Stands and winds need picked spots.",
            button="Back to the spots",
            act=lambda: self.desk.go_to(Stop.SPOTS),
        )

    def refresh(self) -> None:
        """Say what comes later."""
        self.say("Stands, winds, the season and what cameras saw. First pick spots.")
        self.foot_changed.emit()
