"""Tasks of the worker process that call the core."""

from __future__ import annotations

from typing import Any

from funnelfinder.analysis.findings import Findings
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.progress import QUIET, Progress

from .process import Shelf

#: Cells of the passage that follows the hand are this many times the size.
TIMES_COARSER = 4


def lay_ground(shelf: Shelf, progress: Progress, grids: Grids) -> None:
    """Put the grids of a property on the shelf, and take all else off it."""
    shelf.clear()
    shelf["grids"] = grids


def _workings(shelf: Shelf, name: str = "workings") -> Any:
    """Return what earlier tasks kept."""
    from funnelfinder.analysis import Workings

    return shelf.setdefault(name, Workings())


def _in_phase(place: Property) -> Property:
    """Return the property as deer use it in the phase that the person chose, if any."""
    from funnelfinder.analysis import place_for_phase

    return place_for_phase(place, place.season.phase)


def find(shelf: Shelf, progress: Progress, place: Property) -> Findings:
    """Return the findings of a property on the grids that lie on the shelf."""
    from funnelfinder.analysis import run

    return run(_in_phase(place), shelf["grids"], workings=_workings(shelf), progress=progress)


def walk_trips(
    shelf: Shelf, progress: Progress, place: Property, laid: Property | None = None
) -> Any:
    """Return where trips run, on the cover of ``laid`` if it is given."""
    from funnelfinder.analysis import walk

    work = _workings(shelf)
    on = laid and _in_phase(laid)
    return walk(_in_phase(place), shelf["grids"], workings=work, laid=on, progress=progress)


def walk_roughly(shelf: Shelf, progress: Progress, place: Property, laid: Property) -> Any:
    """Return where trips run on coarse cells, fast enough to follow a hand; stops are not heard."""
    from funnelfinder.analysis import walk

    return walk(
        _in_phase(place),
        shelf["grids"],
        workings=_workings(shelf, "rough workings"),
        laid=_in_phase(laid),
        times_coarser=TIMES_COARSER,
        progress=QUIET,
    )


def count_spots(shelf: Shelf, progress: Progress, place: Property, findings: Findings) -> Any:
    """Return which trips each spot catches, those put by hand too."""
    from funnelfinder.analysis import tally

    work = _workings(shelf)
    return tally(_in_phase(place), shelf["grids"], findings, workings=work, progress=progress)


def judge_spot(
    shelf: Shelf, progress: Progress, place: Property, at_m: tuple[float, float], seed: int
) -> tuple[float, float, float, str]:
    """Return a place with its share of trips and the rule that it breaks."""
    from funnelfinder.analysis import judge

    work = _workings(shelf)
    share, words = judge(*at_m, _in_phase(place), shelf["grids"], seed=seed, workings=work)
    return *at_m, share, words
