"""Later: stands, winds, season, cameras."""

from __future__ import annotations

from ..stops import Stop
from .step import Foot, StepPanel


class LaterPanel(StepPanel):
    """Says what comes after the first evening, and where it is to be had."""

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
        self.say(
            "Stands, winds and the season's work follow the spots you pick. So far they are on the "
            "command line: funnelfinder stands, tonight and plan, each with the name of your "
            "property's file."
        )
        self.foot_changed.emit()
