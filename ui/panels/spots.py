"""Spots: where the ground squeezes trips, and where scrapes catch them."""

from __future__ import annotations

from ..look.said import said_count
from ..stops import Stop
from .step import Foot, StepPanel


class SpotsPanel(StepPanel):
    """Says what was found, or what is needed before anything can be."""

    stop = Stop.SPOTS
    title = "Spots"

    def foot(self) -> Foot:
        """Go on, or go back to what is missing."""
        one = self.desk.open
        if one is None or one.findings is None:
            return Foot(
                line="Spots come from trips.",
                button="Back to the trips",
                act=lambda: self.desk.go_to(Stop.TRIPS),
            )
        return Foot(
            line="Pick what you want to take along.",
            button="Next: take them along",
            act=lambda: self.desk.go_to(Stop.TAKE_ALONG),
        )

    def refresh(self) -> None:
        """Say how many were found."""
        one = self.desk.open
        self.foot_changed.emit()
        if one is None or one.findings is None:
            self.say("Spots are places where the ground narrows many trips. First find the trips.")
            return
        self.say(f"{said_count(len(one.findings.clusters), 'spot')} found.")
