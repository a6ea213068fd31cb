"""What stands in the foot of the pages on stands and sits while something is missing or runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .panels.step import Foot
from .stops import Stop

if TYPE_CHECKING:
    from .desk import Desk
    from .sits import SitWork


def work_foot(desk: Desk, sits: SitWork) -> Foot | None:
    """Return how far the work is, or how it is taken up again; None while nothing runs."""
    work = desk.work
    if work is not None:
        return Foot(line=f"{work.words}.", button="Stop", act=desk.stop_work, share=work.share)
    if sits.is_stopped and sits.can_ask and (sits.trees is None or sits.table is None):
        return Foot(line="Stopped. What is here stays.", button="Go on", act=sits.go_on)
    return None


def no_stands_foot(desk: Desk, sits: SitWork) -> Foot | None:
    """Return what leads to stands where there are none; None where there are some."""
    if not sits.spots:
        return Foot(
            line="Stands need picked spots.",
            button="Back to the spots",
            act=lambda: desk.go_to(Stop.SPOTS),
        )
    if not sits.can_ask:
        return Foot(
            line="The spots were found before the last change.",
            button="Bring the spots up to date",
            act=lambda: desk.go_to(Stop.SPOTS),
        )
    if not sits.stands:
        return Foot(line="Looking for trees." if sits.trees is None else "No tree fits any spot.")
    return None
