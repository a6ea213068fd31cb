"""Tasks of the worker process for the season: the field sheet, and what cameras say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from funnelfinder.analysis.findings import Findings
from funnelfinder.marks import Property
from funnelfinder.progress import Part, Progress

from .process import Shelf
from .sit_tasks import Basis, base_of
from .tasks import _in_phase, _workings

if TYPE_CHECKING:
    from funnelfinder.analysis import Watched
    from funnelfinder.evidence import CameraLog
    from funnelfinder.files.field_sheet import WindRow
    from funnelfinder.plan import Plan, PlannedWays, Spot
    from funnelfinder.stands import Stand


@dataclass(frozen=True, kw_only=True)
class SheetWish:
    """A field sheet that is asked for: of what, where to, on which paper, with winds or not.

    ``ways`` are the quiet walks of the plan, where they are known.
    """

    basis: Basis
    path: Path
    plan: Plan | None
    ways: PlannedWays | None
    paper: str
    with_winds: bool


def plan_ways(
    shelf: Shelf, progress: Progress, basis: Basis, spots: tuple[Spot, ...]
) -> PlannedWays:
    """Return the quiet walks to spots and stands."""
    from funnelfinder.plan import planned_ways
    from funnelfinder.stands import stands_for

    base, _ = base_of(shelf, Part(progress, 0.0, 0.85), basis)
    stands = stands_for(base, basis.spots, basis.place.stands)
    return planned_ways(base, spots, stands, progress=progress)


def write_sheet(
    shelf: Shelf, progress: Progress, wish: SheetWish, findings: Findings
) -> tuple[Path, int]:
    """Write the field sheet and return its file with its size [bytes]."""
    from funnelfinder.files.field_sheet import OnFoot, draw_sheet
    from funnelfinder.files.field_sheet.winds import wind_rows
    from funnelfinder.files.map_picture import Paper
    from funnelfinder.stands import stands_for, wind_table

    basis, place = wish.basis, wish.basis.place
    stands: Sequence[Stand] = ()
    winds: Mapping[int, Sequence[WindRow]] | None = None
    if wish.with_winds:
        base, _ = base_of(shelf, Part(progress, 0.0, 0.5), basis)
        stands = stands_for(base, basis.spots, place.stands)
        progress.step(0.5, "Weighing the winds of every stand")
        winds = wind_rows(wind_table(base, stands), place.settings.stands)
    progress.step(0.62, "Drawing the pages")
    draw_sheet(
        place,
        shelf["grids"],
        findings,
        wish.path,
        plan=wish.plan,
        winds=winds,
        on_foot=OnFoot(ways=wish.ways.work if wish.ways is not None else {}, stands=stands),
        paper=Paper(wish.paper),
        on=basis.on,
    )
    return wish.path, wish.path.stat().st_size


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
