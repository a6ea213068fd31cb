"""Tasks of the worker process that call the core."""

from __future__ import annotations

from funnelfinder.analysis.findings import Findings
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.progress import Progress

from .process import Shelf


def lay_ground(shelf: Shelf, progress: Progress, grids: Grids) -> None:
    """Put the grids of a property on the shelf, and take all else off it."""
    shelf.clear()
    shelf["grids"] = grids


def find(shelf: Shelf, progress: Progress, place: Property) -> Findings:
    """Return the findings of a property on the grids that lie on the shelf."""
    from funnelfinder.analysis import Workings, run

    workings = shelf.setdefault("workings", Workings())
    return run(place, shelf["grids"], workings=workings, progress=progress)
