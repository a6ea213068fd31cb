"""Tasks of the worker process for the season: the field sheet, and what cameras say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from funnelfinder.analysis.findings import Findings
from funnelfinder.marks import Property
from funnelfinder.progress import Part, Progress

from .process import Shelf
from .tasks import _in_phase, _workings

if TYPE_CHECKING:
    from funnelfinder.analysis import Watched
    from funnelfinder.evidence import CameraLog
    from funnelfinder.plan import Plan


@dataclass(frozen=True, kw_only=True)
class SheetWish:
    """A field sheet that is asked for: of what, where to, on which paper, with winds or not."""

    place: Property
    findings: Findings
    path: Path
    plan: Plan | None
    paper: str
    with_winds: bool
    on: date


def write_sheet(shelf: Shelf, progress: Progress, wish: SheetWish) -> tuple[Path, int]:
    """Write the field sheet and return its file with its size [bytes]."""
    from funnelfinder.files.field_sheet import draw_sheet
    from funnelfinder.files.map_picture import Paper

    winds = _winds(shelf, Part(progress, 0.0, 0.6), wish) if wish.with_winds else None
    progress.step(0.62, "Drawing the pages")
    draw_sheet(
        wish.place,
        shelf["grids"],
        wish.findings,
        wish.path,
        plan=wish.plan,
        winds=winds,
        paper=Paper(wish.paper),
        on=wish.on,
    )
    return wish.path, wish.path.stat().st_size


def _winds(shelf: Shelf, progress: Progress, wish: SheetWish) -> Mapping[int, Sequence[Any]]:
    """Return the wind tables of the spots' stands, in the phase of the day."""
    from funnelfinder.analysis import phase_of_day
    from funnelfinder.analysis.sitting import property_day, sitting_base
    from funnelfinder.files.field_sheet.winds import wind_rows
    from funnelfinder.stands import stands_for, wind_table

    place = wish.place
    day, _ = property_day(place, wish.on)
    base = sitting_base(
        place,
        shelf["grids"],
        wish.findings,
        day,
        phase=phase_of_day(place, wish.on).phase,
        workings=_workings(shelf, "sheet workings"),
        progress=progress,
    )
    trees = stands_for(base, wish.findings.clusters, place.stands)
    progress.step(0.9, "Weighing the winds of every stand")
    return wind_rows(wind_table(base, trees), place.settings.stands)


def watch(
    shelf: Shelf, progress: Progress, place: Property, findings: Findings, log: CameraLog
) -> Watched:
    """Return what cameras say of the trips of the phase that is run."""
    from funnelfinder.analysis import watched

    return watched(
        _in_phase(place),
        shelf["grids"],
        findings,
        log,
        workings=_workings(shelf, "camera workings"),
        progress=progress,
    )
