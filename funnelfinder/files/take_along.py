"""Write the points of a run in every format that a person takes along.

Each file is written beside its place, read back and compared, and all are renamed together at
the end: a full disk or a card pulled out leaves what was there before. A file of the same name
that something else made is never touched.
"""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import shapely
from pyproj import Transformer
from shapely.geometry import MultiPolygon
from shapely.geometry.polygon import orient

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import ExportError
from funnelfinder.files.csv_points import csv_bytes, csv_owner, csv_rows
from funnelfinder.files.geojson import geojson_bytes, geojson_owner, geojson_rows
from funnelfinder.files.gpkg_points import gpkg_owner, gpkg_rows, write_gpkg
from funnelfinder.files.gpx import gpx_bytes, gpx_owner, gpx_rows
from funnelfinder.files.kml import kml_bytes, kml_owner, kml_rows
from funnelfinder.files.points import PointsFile
from funnelfinder.ground import Raster
from funnelfinder.kernels import FloatArray
from funnelfinder.marks import Property
from funnelfinder.report import LAST_HEADING
from funnelfinder.waypoints import Row, WaypointKind, plain, row_of, waypoints, ways_in

_DEGREE_DECIMALS: Final = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class PointFormat:
    """One way to write points: ``write(path, content)``, and what reads it back.

    ``rows`` returns the points of a file; ``owner`` the property whose points it holds, or None
    if something else made it. Both raise `ValueError` or `OSError` where a file cannot be read.
    """

    write: Callable[[Path, PointsFile], None]
    rows: Callable[[Path], list[Row]]
    owner: Callable[[Path], str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """One file that was written: where, how large, and how many points it holds."""

    path: Path
    n_bytes: int
    n_points: int


def _text_format(
    to_bytes: Callable[[PointsFile], bytes],
    to_rows: Callable[[bytes], list[Row]],
    to_owner: Callable[[bytes], str | None],
) -> PointFormat:
    """Return the format whose whole file is built in memory."""

    def write(path: Path, content: PointsFile) -> None:
        path.write_bytes(to_bytes(content))

    return PointFormat(
        write=write,
        rows=lambda path: to_rows(path.read_bytes()),
        owner=lambda path: to_owner(path.read_bytes()),
    )


#: Every format by the ending of its files.
FORMATS: Final[dict[str, PointFormat]] = {
    "gpx": _text_format(gpx_bytes, gpx_rows, gpx_owner),
    "kml": _text_format(kml_bytes, kml_rows, kml_owner),
    "geojson": _text_format(geojson_bytes, geojson_rows, geojson_owner),
    "csv": _text_format(csv_bytes, csv_rows, csv_owner),
    "gpkg": PointFormat(write=write_gpkg, rows=gpkg_rows, owner=gpkg_owner),
}


def write_points(
    place: Property,
    findings: Findings,
    folder: Path,
    formats: Sequence[str] = tuple(FORMATS),
    *,
    stem: str = "",
    elevation: Raster | None = None,
    with_ways_in: bool = False,
    kinds: Collection[WaypointKind] = tuple(WaypointKind),
    keeps_ours: bool = False,
    report: str = "",
) -> list[Written]:
    """Write the points of a run to ``folder``, one file a format, and the report.

    Parameters
    ----------
    place : Property
        Whose points they are; its boundary goes into GPX, KML and GeoPackage.
    findings : Findings
        Results of a run.
    folder : Path
        Where to; made if it is not there.
    formats : sequence of str
        Names of `FORMATS`.
    stem : str
        Name of the files without ending; the property's name without it.
    elevation : Raster, optional
        Where the heights of the points are read.
    with_ways_in : bool
        Whether the way-in marks are points too.
    kinds : collection of WaypointKind
        Which points are written.
    keeps_ours : bool
        Whether our own earlier files of that name stay too.
    report : str
        What ``report.txt`` is to hold; no such file without it.

    Returns
    -------
    list of Written
        In the order of ``formats``, the report last. A file of the same name that something else
        made stays, and the new one is called ``stem-2``.

    Raises
    ------
    ExportError
        If a format is unknown, or nothing can be written there; then nothing was.
    """
    unknown = [name for name in formats if name not in FORMATS]
    if unknown:
        raise ExportError(
            "No format of that name is known.",
            where=unknown[0],
            remedy="Choose among: " + ", ".join(FORMATS) + ".",
        )
    content = points_file(
        place, findings, elevation=elevation, with_ways_in=with_ways_in, kinds=kinds
    )
    with _told(folder):
        folder.mkdir(parents=True, exist_ok=True)
    owner = None if keeps_ours else content.property_name
    name = stem or file_stem(place.name)
    paths = [free_path(folder, name, one, owner=owner) for one in formats]
    files = [_points_output(content, path, one) for path, one in zip(paths, formats, strict=True)]
    if report:
        files.append(_report_output(report, folder))
    return _write_all(files)


def points_file(
    place: Property,
    findings: Findings,
    *,
    elevation: Raster | None = None,
    with_ways_in: bool = False,
    kinds: Collection[WaypointKind] = tuple(WaypointKind),
) -> PointsFile:
    """Return what goes into every file: the points, and the boundary on the globe."""
    points = waypoints(findings, elevation=elevation)
    if with_ways_in:
        points += ways_in(place, elevation=elevation)
    points = tuple(point for point in points if point.kind in kinds)
    return PointsFile(
        property_name=plain(place.name), points=points, boundary=_boundary_on_globe(place)
    )


def _boundary_on_globe(place: Property) -> MultiPolygon:
    """Return the boundary in degrees, outer rings counter-clockwise, holes clockwise."""
    globe = Transformer.from_crs(place.epsg, 4326, always_xy=True)

    def to_degrees(points_m: FloatArray) -> FloatArray:
        degrees = globe.transform(points_m[:, 0], points_m[:, 1])
        return np.column_stack(degrees).round(_DEGREE_DECIMALS)

    flat = shapely.transform(shapely.force_2d(place.boundary), to_degrees)
    return MultiPolygon([orient(part, 1.0) for part in flat.geoms])


def file_stem(name: str) -> str:
    """Return a name of a property as every file system takes it.

    Examples
    --------
    >>> file_stem("Brome Hollow / north")
    'brome-hollow-north'
    """
    return re.sub(r"[^\w]+", "-", name.lower()).strip("-") or "property"


def free_path(folder: Path, stem: str, ending: str, *, owner: str | None) -> Path:
    """Return where a file may go: what something else made stays, the owner's is replaced.

    Without an owner, every file stays.
    """
    number = 1
    while True:
        name = stem if number == 1 else f"{stem}-{number}"
        path = folder / f"{name}.{ending}"
        if not path.exists():
            return path
        if owner is not None and _owner(path, ending) in (owner, ""):
            return path
        number += 1


def _owner(path: Path, ending: str) -> str | None:
    """Return whose points a file holds, None where it is not one of ours."""
    try:
        return FORMATS[ending].owner(path)
    except (OSError, ValueError):
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Output:
    """One file to come: where it goes, how it is written, how it is read back and compared."""

    path: Path
    write: Callable[[Path], None]
    is_equal: Callable[[Path], bool]
    n_points: int


def _points_output(content: PointsFile, path: Path, name: str) -> _Output:
    """Return the file of one format."""
    one = FORMATS[name]
    rows = [row_of(point) for point in content.points]
    return _Output(
        path=path,
        write=lambda path: one.write(path, content),
        is_equal=lambda path: one.rows(path) == rows,
        n_points=len(rows),
    )


def _report_output(report: str, folder: Path) -> _Output:
    """Return the report's file; an earlier report is known by its last heading."""
    heading = f"\n{LAST_HEADING}\n"
    number = 1
    path = folder / "report.txt"
    while path.exists() and heading not in path.read_text(encoding="utf-8", errors="replace"):
        number += 1
        path = folder / f"report-{number}.txt"
    return _Output(
        path=path,
        write=lambda beside: _write_text(beside, report),
        is_equal=lambda beside: beside.read_text(encoding="utf-8") == report,
        n_points=0,
    )


def _write_text(path: Path, text: str) -> None:
    """Write a text as UTF-8."""
    path.write_text(text, encoding="utf-8")


def _write_all(files: list[_Output]) -> list[Written]:
    """Write every file beside its place, check it, and rename all of them at the end."""
    try:
        for one in files:
            with _told(one.path):
                one.write(_beside(one.path))
                _settle(_beside(one.path))
                _check(one)
        for one in files:
            with _told(one.path):
                _beside(one.path).replace(one.path)
    finally:
        for one in files:
            _remove(_beside(one.path))
    return [
        Written(path=one.path, n_bytes=one.path.stat().st_size, n_points=one.n_points)
        for one in files
    ]


def _beside(path: Path) -> Path:
    """Return where a file is written before it is renamed."""
    return path.with_name(f".{path.stem}.{os.getpid()}{path.suffix}")


def _remove(path: Path) -> None:
    """Remove a file and the journal that a broken GeoPackage leaves."""
    for one in (path, path.with_name(f"{path.name}-journal")):
        with contextlib.suppress(OSError):
            one.unlink(missing_ok=True)


def _settle(path: Path) -> None:
    """Make sure that a file lies on the disk and not in a buffer."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _check(one: _Output) -> None:
    """Raise `ExportError` unless a file reads back equal."""
    if not one.is_equal(_beside(one.path)):
        raise ExportError(
            "What was read back differs from what was written; nothing was kept.",
            where=str(one.path),
            remedy="Try another folder or card.",
        )


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn a refusal of the disk into an error that names the file."""
    try:
        yield
    except ExportError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise ExportError(
            f"It could not be written: {reason}. Nothing was changed there.",
            where=str(path),
            remedy="Choose a folder that can be written and has room.",
        ) from error
