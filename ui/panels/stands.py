"""Stands: from which tree, what it catches in legal light, and what lies toward the shot."""

from __future__ import annotations

from ..look.said import said_count
from ..stops import Stop
from .later_pages import LaterPage
from .step import Foot


class StandsPage(LaterPage):
    """The stands of the picked spots."""

    name = "Stands"
    icon = "stand"

    def state_line(self) -> str:
        """Say how many are chosen."""
        one = self.desk.open
        if one is None or not any(pick.is_taken for pick in one.place.picks):
            return "Pick spots first."
        n = sum(stand.is_taken for stand in one.place.stands)
        return f"{said_count(n, 'tree')} chosen by you." if n else "Trees for the spots you picked."

    def foot(self) -> Foot:
        """Go back to the spots."""
        return Foot(button="Back to the spots", act=lambda: self.desk.go_to(Stop.SPOTS))
