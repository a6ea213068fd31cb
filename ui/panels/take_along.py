"""Take along: points for the GPS in the hand, and paper for the pocket."""

from __future__ import annotations

from ..stops import Stop
from .step import Foot, StepPanel


class TakeAlongPanel(StepPanel):
    """Says what is needed before anything can be taken along."""

    stop = Stop.TAKE_ALONG
    title = "Take along"

    def foot(self) -> Foot:
        """Go back to the spots."""
        return Foot(
            line="Nothing picked yet.",
            button="Back to the spots",
            act=lambda: self.desk.go_to(Stop.SPOTS),
        )

    def refresh(self) -> None:
        """Say what is needed."""
        self.say("Points for the GPS in your hand. First pick spots.")
        self.foot_changed.emit()
