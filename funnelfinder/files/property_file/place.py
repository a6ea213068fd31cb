"""What a person drew and chose: boundary, marks, settings, cover table, decisions on spots."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from enum import Enum
from pathlib import Path
from typing import Any, Final, TypeVar

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from funnelfinder.defaults import Entry, Settings, entries, shown_value
from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.opening import FORMAT, connected, steadily
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
from funnelfinder.files.property_file.writing import in_place
from funnelfinder.land_cover import CoverClass, CoverTable
from funnelfinder.marks import Mark, MarkKind, Pick, Property, StandPick
from funnelfinder.season import Action, Allowance, Scent, SeasonChoices, WorkRule

_E = TypeVar("_E", bound=Enum)

_PROPERTY: Final = Table(
    name="property",
    words="What the property is called, and which format this file has.",
    columns=(
        Column(name="format", kind=Kind.INTEGER),
        Column(name="name", kind=Kind.TEXT),
        Column(name="epsg", kind=Kind.INTEGER),
        Column(name="legend", kind=Kind.TEXT),
        Column(name="detectors_off", kind=Kind.WORDS, default=tuple),
        Column(name="peak_breeding", kind=Kind.TEXT, default=str),
        Column(name="time_zone", kind=Kind.TEXT, default=str),
    ),
)
_SEASON: Final = Table(
    name="season",
    words="What the person chose for the season.",
    columns=columns_of(SeasonChoices, without=("rules",)),
)
_WORK: Final = Table(
    name="work_table",
    words="What is done at which kind of spot, when, how often, and what that rests on.",
    columns=columns_of(WorkRule),
)
_BOUNDARY: Final = Table(
    name="boundary",
    words="What the person has permission to hunt.",
    columns=(Column(name="name", kind=Kind.TEXT),),
    geometry="MULTIPOLYGON",
)
_MARK_COLUMNS: Final = (
    # Rows that another program added have neither: they come last and get a key.
    Column(name="position", kind=Kind.INTEGER, default=lambda: 2**62),
    Column(name="is_multi", kind=Kind.YES_NO, default=lambda: True),
    *columns_of(Mark, without=("geometry",)),
)
_MARK_LAYERS: Final = tuple(
    Table(name=name, words=words, columns=_MARK_COLUMNS, geometry=geometry)
    for name, words, geometry in (
        ("mark_areas", "Beds, food and other ground that a person marked.", "MULTIPOLYGON"),
        ("mark_lines", "Fences, creeks and other lines that a person marked.", "MULTILINESTRING"),
        ("mark_points", "Gaps, ways in, sign and other points that a person marked.", "MULTIPOINT"),
    )
)
_MULTI: Final[dict[str, Any]] = {
    "Polygon": shapely.multipolygons,
    "LineString": shapely.multilinestrings,
    "Point": shapely.multipoints,
}
_SETTINGS: Final = Table(
    name="settings",
    words="Every number that the person may change, in the program's unit and as shown.",
    columns=(
        Column(name="topic", kind=Kind.TEXT),
        Column(name="name", kind=Kind.TEXT),
        Column(name="number", kind=Kind.REAL, default=lambda: None),
        Column(name="word", kind=Kind.TEXT, default=lambda: None),
        Column(name="shown", kind=Kind.TEXT, default=str),
    ),
)
_COVER: Final = Table(
    name="cover_table",
    words="What each land-cover class costs to cross, and what kind of cover it is.",
    columns=columns_of(CoverClass),
)
_PICKS: Final = Table(
    name="picks",
    words="What the person decided about spots.",
    columns=columns_of(Pick, without=("x_m", "y_m")),
    geometry="POINT",
)
_STANDS: Final = Table(
    name="stands",
    words="What the person decided about stands.",
    columns=columns_of(StandPick, without=("x_m", "y_m")),
    geometry="POINT",
)


def save_place(path: Path | str, place: Property) -> None:
    """Put a property's boundary, marks and choices on disk at once, in one transaction.

    Grids and findings in the file stay as they are.

    Raises
    ------
    PropertyFileError
        If the file is missing, no property, from a newer program, held or locked by another, or
        cannot be written; it is as it was.
    """
    with in_place(Path(path)) as db:
        write_place(db, place)


def load_place(path: Path | str) -> Property:
    """Return a property's boundary, marks and choices without its grids and findings.

    Raises
    ------
    PropertyFileError
        If the file is missing, damaged, no property, or from a newer program.
    """
    file = Path(path)
    return steadily(file, lambda: _loaded(file))


def _loaded(path: Path) -> Property:
    """Return the property that a file holds now."""
    with connected(path) as db:
        db.execute("BEGIN")
        return _read_place(db)


def write_place(db: sqlite3.Connection, place: Property) -> None:
    """Write a property within the caller's transaction."""
    about = {
        "format": FORMAT,
        "name": place.name,
        "epsg": place.epsg,
        "legend": place.cover_table.legend,
        "detectors_off": sorted(place.detectors_off),
        "peak_breeding": place.peak_breeding,
        "time_zone": place.time_zone,
    }
    rows: dict[str, tuple[Table, list[Row]]] = {
        "about": (_PROPERTY, [Row(about)]),
        "boundary": (_BOUNDARY, [Row({"name": place.name}, place.boundary)]),
        "season": (_SEASON, [Row(values_of(place.season, _SEASON))]),
        "work": (_WORK, [Row(values_of(one, _WORK)) for one in place.season.rules]),
        "settings": (_SETTINGS, [_setting_row(one) for one in entries(place.settings)]),
        "cover": (_COVER, [Row(values_of(one, _COVER)) for one in place.cover_table.classes]),
        "picks": (
            _PICKS,
            [Row(values_of(one, _PICKS), shapely.Point(one.x_m, one.y_m)) for one in place.picks],
        ),
        "stands": (
            _STANDS,
            [Row(values_of(one, _STANDS), shapely.Point(one.x_m, one.y_m)) for one in place.stands],
        ),
    }
    for layer in _MARK_LAYERS:
        rows[layer.name] = (layer, list(_mark_rows(place.marks, layer)))
    for table, kept in rows.values():
        write_rows(db, table, kept, epsg=place.epsg)


def put_cover_table(db: sqlite3.Connection, table: CoverTable) -> None:
    """Put a cover table in the place of the one there, within the caller's transaction."""
    write_place(db, replace(_read_place(db), cover_table=table))


def _mark_rows(marks: tuple[Mark, ...], layer: Table) -> Iterator[Row]:
    """Yield the rows of the marks whose geometry belongs in a layer."""
    for position, mark in enumerate(marks):
        name = mark.geometry.geom_type
        is_multi = name.startswith("Multi")
        if name.removeprefix("Multi").upper() == layer.geometry.removeprefix("MULTI"):
            shape = mark.geometry if is_multi else _MULTI[name]([mark.geometry])
            extra = {"position": position, "is_multi": is_multi}
            yield Row({**values_of(mark, layer), **extra}, shape)


def _setting_row(one: Entry) -> Row:
    """Return the row that keeps a setting."""
    is_number = isinstance(one.value, int | float)
    return Row(
        {
            "topic": one.topic,
            "name": one.attribute,
            "number": one.value if is_number else None,
            "word": None if is_number else one.value,
            "shown": shown_value(one.value, one.about),
        }
    )


def _read_place(db: sqlite3.Connection) -> Property:
    """Return the property of an open file."""
    about = _only(read_rows(db, _PROPERTY), "property").values
    boundary = _only(read_rows(db, _BOUNDARY), "boundary").shape
    if isinstance(boundary, Polygon):
        boundary = MultiPolygon([boundary])
    if not isinstance(boundary, MultiPolygon):
        raise PropertyFileError("The outline is missing.", where="boundary")
    classes = tuple(CoverClass(**row.values) for row in read_rows(db, _COVER))
    return Property(
        name=about["name"],
        epsg=about["epsg"],
        boundary=boundary,
        marks=_read_marks(db),
        settings=_read_settings(db),
        cover_table=CoverTable(legend=about["legend"], classes=classes),
        detectors_off=frozenset(about["detectors_off"]),
        picks=tuple(Pick(**_at(row, "spot"), **row.values) for row in read_rows(db, _PICKS)),
        stands=tuple(
            StandPick(**_at(row, "stand"), **row.values) for row in read_rows(db, _STANDS)
        ),
        peak_breeding=about["peak_breeding"],
        time_zone=about["time_zone"],
        season=_read_season(db),
    )


def _read_season(db: sqlite3.Connection) -> SeasonChoices:
    """Return the choices for the season; those of a file that has none are the usual ones."""
    rows = read_rows(db, _SEASON)
    rules = tuple(_work_rule(row) for row in read_rows(db, _WORK))
    if not rows:
        return SeasonChoices()
    values = dict(rows[0].values)
    allowance = _word(values.pop("allowance"), Allowance, "season")
    choices = SeasonChoices(**values, allowance=allowance)
    return replace(choices, rules=rules) if rules else choices


def _work_rule(row: Row) -> WorkRule:
    """Return the rule that a row keeps."""
    values = dict(row.values)
    action = _word(values.pop("action"), Action, "work_table")
    scent = _word(values.pop("scent"), Scent, "work_table")
    return WorkRule(**values, action=action, scent=scent)


def _word(word: Any, choices: type[_E], where: str) -> _E:
    """Return the choice that a word means; raises `PropertyFileError` if it is none."""
    try:
        # A choice that no cell named comes as itself.
        return choices(word)
    except ValueError as error:
        raise PropertyFileError(f"It cannot be {word!r}.", where=where) from error


def _only(rows: list[Row], where: str) -> Row:
    """Return the only row of a table."""
    if len(rows) != 1:
        raise PropertyFileError(f"It has {len(rows)} rows instead of one.", where=where)
    return rows[0]


def _read_marks(db: sqlite3.Connection) -> tuple[Mark, ...]:
    """Return the marks of all layers, in the order drawn."""
    rows = [row for layer in _MARK_LAYERS for row in read_rows(db, layer)]
    return tuple(_mark(row) for row in sorted(rows, key=lambda row: int(row.values["position"])))


def _mark(row: Row) -> Mark:
    """Return the mark that a row keeps."""
    values = dict(row.values)
    del values["position"]
    is_multi = values.pop("is_multi")
    try:
        kind = MarkKind(values.pop("kind"))
    except ValueError as error:
        raise PropertyFileError(
            "A mark is of a kind that this program does not know.", where=values["name"] or "marks"
        ) from error
    if row.shape is None:
        raise PropertyFileError("A mark has no geometry.", where=values["name"] or kind.value)
    return Mark(kind=kind, geometry=_single(row.shape, is_multi), **values)


def _single(shape: BaseGeometry, is_multi: bool) -> BaseGeometry:
    """Return the geometry as it was before it was put in a layer of several parts."""
    parts: Any = shapely.get_parts(shape)
    return shape if is_multi or len(parts) != 1 else parts[0]


def _at(row: Row, what: str) -> dict[str, Any]:
    """Return where the thing is that a decision was made on."""
    if row.shape is None or row.shape.geom_type != "Point":
        raise PropertyFileError(f"A decision on a {what} has no place.", where=f"{what}s")
    return {"x_m": float(shapely.get_x(row.shape)), "y_m": float(shapely.get_y(row.shape))}


def _read_settings(db: sqlite3.Connection) -> Settings:
    """Return the settings; those that the file does not name keep their defaults."""
    kept = {
        (row.values["topic"], row.values["name"]): row.values for row in read_rows(db, _SETTINGS)
    }
    settings = Settings()
    for one in entries(settings):
        values = kept.get((one.topic, one.attribute))
        if values is not None:
            group = replace(getattr(settings, one.topic), **{one.attribute: _value(one, values)})
            settings = replace(settings, **{one.topic: group})
    return settings


def _value(one: Entry, values: Any) -> Any:
    """Return a setting's value of its own type; raises `PropertyFileError` if it fits none."""
    is_number = isinstance(one.default, int | float)
    kept = values["number"] if is_number else values["word"]
    try:
        return type(one.default)(kept)
    except (TypeError, ValueError) as error:
        raise PropertyFileError(
            f"The setting cannot be {kept!r}.", where=f"settings.{one.attribute}"
        ) from error
