"""What is taken along: which points, in which files, where to; and writing them."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import ExportError
from funnelfinder.files.take_along import Written, points_file, write_points
from funnelfinder.ground import Grids
from funnelfinder.marks import Property
from funnelfinder.progress import Progress
from funnelfinder.scrapes import Cluster
from funnelfinder.waypoints import Waypoint, WaypointKind

from .cards import Card, card_at, said_bytes
from .taking_sits import SitPack, write_sits

#: What may go, in order, and whether it goes at first.
WHAT: Final = (
    (WaypointKind.SCRAPE, "Scrapes of the picked spots", True),
    (WaypointKind.CAMERA, "Their cameras", True),
    (WaypointKind.PINCH, "Pinch points", False),
    (WaypointKind.STAGING, "Staging spots", False),
    (WaypointKind.WAY_IN, "Ways in", True),
)
#: Every format, what reads it, and whether it is written at first.
FORMATS: Final = (
    ("gpx", "GPX", "handheld units", True),
    ("kml", "KML", "phones, computers", True),
    ("geojson", "GeoJSON", "maps on the web", False),
    ("csv", "CSV", "tables", False),
    ("gpkg", "GeoPackage", "desks and offices", False),
)
FIRST_FORMATS: Final = 2


@dataclass(frozen=True, kw_only=True)
class Load:
    """What would be written: of which property and findings, which kinds, which formats, where.

    ``sits`` are stands and ways that go along in a file of their own.
    """

    place: Property
    grids: Grids | None
    findings: Findings
    kinds: frozenset[WaypointKind]
    formats: tuple[str, ...]
    folder: Path
    card: Card | None = None
    sits: SitPack | None = None

    @property
    def points(self) -> tuple[Waypoint, ...]:
        """The points that would be written."""
        return points_of(self.place, self.grids, self.findings, self.kinds)


def points_of(
    place: Property, grids: Grids | None, findings: Findings, kinds: frozenset[WaypointKind]
) -> tuple[Waypoint, ...]:
    """Return the points of some kinds under the names that they will have."""
    elevation = grids.elevation if grids is not None else None
    content = points_file(place, findings, elevation=elevation, with_ways_in=True, kinds=kinds)
    return content.points


def picked_findings(findings: Findings, taken: tuple[Cluster, ...]) -> Findings:
    """Return the findings with the picked spots alone, under the person's names."""
    return replace(findings, clusters=taken)


def write_load(load: Load, progress: Progress) -> list[Written]:
    """Write what is taken along and return the files; runs in a thread.

    Raises
    ------
    ExportError
        If the card is gone, locked or full, or the folder cannot be written; nothing is then.
    """
    _check_card(load)
    progress.step(0.1, "Weighing the files")
    with tempfile.TemporaryDirectory(prefix="funnelfinder-") as folder:
        needed = sum(one.n_bytes for one in _write(load, Path(folder)))
    now = card_at(load.card.path) if load.card is not None else None
    if now is not None and now.free_bytes < 2 * needed:
        raise ExportError(
            f"Needs {said_bytes(needed)}, {said_bytes(now.free_bytes)} free.",
            where=now.name,
            remedy="Make room on the card.",
        )
    progress.step(0.5, "Writing and reading back")
    return _write(load, load.folder)


def _check_card(load: Load) -> None:
    """Raise `ExportError` where the card went or is locked."""
    if load.card is None:
        return
    now = card_at(load.card.path)
    if now is None:
        raise ExportError(
            "The card was taken out. Nothing was written.",
            where=load.card.name,
            remedy="Put it back in.",
        )
    if now.is_locked:
        raise ExportError(
            "The card's lock switch is on.", where=now.name, remedy="Slide it the other way."
        )


def _write(load: Load, folder: Path) -> list[Written]:
    """Write the files to a folder, each read back and compared."""
    files = write_points(
        load.place,
        load.findings,
        folder,
        load.formats,
        elevation=load.grids.elevation if load.grids is not None else None,
        with_ways_in=True,
        kinds=load.kinds,
        keeps_ours=True,
    )
    return files if load.sits is None else [*files, write_sits(load.sits, folder)]


def said_written(files: list[Written], place: str, *, is_card: bool) -> str:
    """Return what was written where."""
    n_points = max((one.n_points for one in files), default=0)
    names = [one.path.name for one in files]
    said = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    eject = " Eject the card before you pull it." if is_card else ""
    return (
        f"{n_points} points and the boundary are on {place}, in {said}; read back and equal.{eject}"
    )


Deed = Callable[[], None]
