"""All results of one run, as layers that other programs show."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final, TypeVar

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from funnelfinder.analysis.findings import Dependence, Findings, Pair, Stage
from funnelfinder.errors import PropertyFileError
from funnelfinder.features import Feature
from funnelfinder.files.property_file.coverages import (
    COVERAGES,
    coverage_of,
    coverage_row,
    drop_coverages,
    known_coverages,
    read_coverage,
    write_coverage,
)
from funnelfinder.files.property_file.opening import connected, steadily
from funnelfinder.files.property_file.tables import (
    Column,
    Kind,
    Row,
    Table,
    columns_of,
    read_rows,
    values_of,
    write_rows,
)
from funnelfinder.files.property_file.writing import quick, replaced, transaction
from funnelfinder.grid import frozen
from funnelfinder.kernels import FloatArray
from funnelfinder.pinch_points import PinchPoint
from funnelfinder.scrapes import Cluster, ClusterKind, LeftOut
from funnelfinder.staging import StagingSpot
from funnelfinder.travel_network import Route

_T = TypeVar("_T")

_PASSAGE: Final = "passage"
_XY: Final = ("x_m", "y_m")
_ABOUT: Final = Table(
    name="findings",
    words="What the findings are of, and what made them.",
    columns=columns_of(
        Findings,
        without=(
            "grid",
            "passage",
            "pairs",
            "routes",
            "pinch_points",
            "staging_spots",
            "clusters",
            "left_out",
            "features",
            "drawn_m",
            "dependences",
            "stages",
        ),
    ),
)
_PAIRS: Final = Table(
    name="pairs", words="The beds and food that trips link.", columns=columns_of(Pair)
)
_DEPENDENCES: Final = Table(
    name="dependences", words="What the shares hang on.", columns=columns_of(Dependence)
)
_STAGES: Final = Table(name="stages", words="How the time went.", columns=columns_of(Stage))
_PINCH_POINTS: Final = Table(
    name="pinch_points",
    words="Where the ground narrows trips, and why.",
    columns=columns_of(PinchPoint, without=_XY),
    geometry="POINT",
)
_STAGING: Final = Table(
    name="staging_spots",
    words="Where trips gather in cover before they step out to feed.",
    columns=columns_of(StagingSpot, without=_XY),
    geometry="POINT",
)
_LEFT_OUT: Final = Table(
    name="left_out",
    words="Places that a rule left out, and by how much they missed.",
    columns=columns_of(LeftOut, without=_XY),
    geometry="POINT",
)
_CAMERAS: Final = Table(
    name="cluster_cameras",
    words="Scrape clusters, each where its camera hangs.",
    columns=columns_of(Cluster, without=("scrapes_m", "camera_m")),
    geometry="POINT",
)
_SCRAPES: Final = Table(
    name="cluster_scrapes",
    words="The scrapes of the clusters; cluster is the row of its camera.",
    columns=(Column(name="cluster", kind=Kind.INTEGER), Column(name="name", kind=Kind.TEXT)),
    geometry="POINT",
)
_ROUTES: Final = Table(
    name="routes",
    words="Least-cost paths and their next-best alternatives.",
    columns=(*columns_of(Route, without=("points_m",)), Column(name="n_points", kind=Kind.INTEGER)),
    geometry="LINESTRING",
)
_DRAWN: Final = Table(
    name="drawn_trips",
    words="A few dozen single trips to look at.",
    columns=(Column(name="n_points", kind=Kind.INTEGER),),
    geometry="LINESTRING",
)
_FEATURES: Final = Table(
    name="features",
    words="Features of terrain and cover, with their measured sizes.",
    columns=columns_of(Feature, without=("geometry",)),
    geometry="GEOMETRY",
)


def save_findings(path: Path | str, findings: Findings) -> None:
    """Keep all results of a run in the property's file, in the place of those before.

    Marks, choices and grids in the file stay as they are.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or a new one not be written; it is as it was.
    """
    replaced(Path(path), lambda fresh: _write_findings(fresh, findings))


def load_run_day(path: Path | str) -> date | None:
    """Return the day on which the findings of a property were kept, None where it has none.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)

    def read() -> date | None:
        with connected(file) as db:
            found = db.execute(
                "SELECT last_change FROM gpkg_contents WHERE table_name = ?", (_ABOUT.name,)
            ).fetchone()
        try:
            return datetime.fromisoformat(found[0]).astimezone().date() if found else None
        except (TypeError, ValueError) as error:
            raise PropertyFileError(
                "The day of the run cannot be read.", where=str(file)
            ) from error

    return steadily(file, read)


def load_findings(path: Path | str) -> Findings | None:
    """Return the results that a property file keeps; None if it has none.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)
    return steadily(file, lambda: _read_findings(file))


def _write_findings(path: Path, findings: Findings) -> None:
    """Write findings into a file that nobody else has open."""
    passage = coverage_of(_PASSAGE, findings.grid, findings.passage)
    with connected(path) as db:
        quick(db)
        with transaction(db):
            drop_coverages(db, (_PASSAGE,))
            rows = [*read_rows(db, COVERAGES), coverage_row(passage)]
            write_rows(db, COVERAGES, rows, epsg=passage.epsg)
            for table, kept in _tables(findings):
                write_rows(db, table, kept, epsg=passage.epsg)
    write_coverage(
        path,
        passage,
        findings.passage,
        words="Net trips across a place, share of all trips per metre of front",
        unit="1/m",
    )


def _tables(findings: Findings) -> Iterable[tuple[Table, list[Row]]]:
    """Return the rows of every table of the findings."""
    return (
        (_ABOUT, [Row(values_of(findings, _ABOUT))]),
        (_PAIRS, _plain_rows(findings.pairs, _PAIRS)),
        (_DEPENDENCES, _plain_rows(findings.dependences, _DEPENDENCES)),
        (_STAGES, _plain_rows(findings.stages, _STAGES)),
        (_PINCH_POINTS, _point_rows(findings.pinch_points, _PINCH_POINTS)),
        (_STAGING, _point_rows(findings.staging_spots, _STAGING)),
        (_LEFT_OUT, _point_rows(findings.left_out, _LEFT_OUT)),
        (
            _CAMERAS,
            [
                Row(values_of(one, _CAMERAS), shapely.Point(one.camera_m))
                for one in findings.clusters
            ],
        ),
        (
            _SCRAPES,
            [
                Row({"cluster": number, "name": one.name}, shapely.Point(scrape_m))
                for number, one in enumerate(findings.clusters, start=1)
                for scrape_m in one.scrapes_m
            ],
        ),
        (_ROUTES, [_line_row(values_of(one, _ROUTES), one.points_m) for one in findings.routes]),
        (_DRAWN, [_line_row({}, points_m) for points_m in findings.drawn_m]),
        (_FEATURES, [Row(values_of(one, _FEATURES), one.geometry) for one in findings.features]),
    )


def _plain_rows(kept: Iterable[Any], table: Table) -> list[Row]:
    """Return the rows of what has no place."""
    return [Row(values_of(one, table)) for one in kept]


def _point_rows(kept: Iterable[Any], table: Table) -> list[Row]:
    """Return the rows of what has one place."""
    return [Row(values_of(one, table), shapely.Point(one.x_m, one.y_m)) for one in kept]


def _line_row(values: dict[str, Any], points_m: FloatArray) -> Row:
    """Return the row of a line; one of a single point is kept as that point twice."""
    n_points = len(points_m)
    corners = np.repeat(points_m, 2, axis=0) if n_points == 1 else points_m
    return Row({**values, "n_points": n_points}, shapely.LineString(corners))


def _read_findings(path: Path) -> Findings | None:
    """Return the findings that a file keeps now."""
    with connected(path) as db:
        db.execute("BEGIN")
        about = read_rows(db, _ABOUT)
        passage = known_coverages(db).get(_PASSAGE)
        if not about or passage is None:
            return None
        lists = _read_lists(db)
    return Findings(
        **about[0].values, **lists, grid=passage.grid, passage=read_coverage(path, passage)
    )


def _read_lists(db: sqlite3.Connection) -> dict[str, Any]:
    """Return everything in the findings of which there may be many."""
    return {
        "pairs": tuple(Pair(**row.values) for row in read_rows(db, _PAIRS)),
        "dependences": tuple(Dependence(**row.values) for row in read_rows(db, _DEPENDENCES)),
        "stages": tuple(Stage(**row.values) for row in read_rows(db, _STAGES)),
        "pinch_points": _at_points(db, _PINCH_POINTS, PinchPoint),
        "staging_spots": _at_points(db, _STAGING, StagingSpot),
        "left_out": _at_points(db, _LEFT_OUT, LeftOut),
        "clusters": _clusters(db),
        "routes": tuple(
            Route(points_m=_line(row), **_without(row, "n_points"))
            for row in read_rows(db, _ROUTES)
        ),
        "drawn_m": tuple(_line(row) for row in read_rows(db, _DRAWN)),
        "features": tuple(
            Feature(geometry=_shape(row, _FEATURES), **row.values)
            for row in read_rows(db, _FEATURES)
        ),
    }


def _clusters(db: sqlite3.Connection) -> tuple[Cluster, ...]:
    """Return the clusters with their scrapes."""
    scrapes: dict[int, list[tuple[float, float]]] = {}
    for row in read_rows(db, _SCRAPES):
        scrapes.setdefault(row.values["cluster"], []).append(_xy_m(row, _SCRAPES))
    found = []
    for number, row in enumerate(read_rows(db, _CAMERAS), start=1):
        values = dict(row.values)
        try:
            kind = ClusterKind(values.pop("kind"))
        except ValueError as error:
            raise PropertyFileError(
                "A cluster is of a kind that this program does not know.", where=_CAMERAS.name
            ) from error
        found.append(
            Cluster(
                kind=kind,
                scrapes_m=tuple(scrapes.get(number, ())),
                camera_m=_xy_m(row, _CAMERAS),
                **values,
            )
        )
    return tuple(found)


def _at_points(
    db: sqlite3.Connection, table: Table, row_class: Callable[..., _T]
) -> tuple[_T, ...]:
    """Return what a layer of points keeps."""
    found = []
    for row in read_rows(db, table):
        x_m, y_m = _xy_m(row, table)
        found.append(row_class(x_m=x_m, y_m=y_m, **row.values))
    return tuple(found)


def _without(row: Row, name: str) -> dict[str, Any]:
    """Return a row's values without one of them."""
    return {key: value for key, value in row.values.items() if key != name}


def _shape(row: Row, table: Table) -> BaseGeometry:
    """Return a row's geometry; raises `PropertyFileError` if it has none."""
    if row.shape is None:
        raise PropertyFileError("A row has no geometry.", where=table.name)
    return row.shape


def _xy_m(row: Row, table: Table) -> tuple[float, float]:
    """Return where a row's point lies [m]."""
    shape = _shape(row, table)
    if shape.geom_type != "Point":
        raise PropertyFileError("A row's geometry is not a point.", where=table.name)
    return float(shapely.get_x(shape)), float(shapely.get_y(shape))


def _line(row: Row) -> FloatArray:
    """Return the corners of a row's line, read-only."""
    corners = shapely.get_coordinates(row.shape)[: row.values["n_points"]]
    return frozen(np.array(corners, dtype=np.float64))
