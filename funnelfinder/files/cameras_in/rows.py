"""Rows of camera tables, with errors that name the line; and stays made from them."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final, NamedTuple

from funnelfinder.errors import RecordError
from funnelfinder.evidence import CameraLog, CameraStay, Sighting
from funnelfinder.files.map_systems import way

#: A record may lie so far outside its camera's stay: people write down days, not minutes.
_SLACK: Final = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class CamerasRead:
    """What tables held, and what was left out of it."""

    log: CameraLog
    notes: tuple[str, ...]


class Line(NamedTuple):
    """One line of a table: where it stands, and its cells by column."""

    where: str
    cells: dict[str, str]


def read_lines(path: Path, columns: Sequence[str], *, remedy: str) -> list[Line]:
    """Return the lines of a table that has these columns.

    Raises
    ------
    RecordError
        If it cannot be read, a column is missing or a line is cut short.
    """
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            missing = [name for name in columns if name not in (reader.fieldnames or ())]
            rows = [(reader.line_num, row) for row in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise RecordError(
            "The table cannot be read.", where=str(path), remedy="Give a CSV file in UTF-8."
        ) from error
    if missing:
        raise RecordError(f"The column {missing[0]} is missing.", where=str(path), remedy=remedy)
    found = []
    for number, row in rows:
        where = f"{path}, line {number}"
        if any(row[name] is None for name in columns):
            raise RecordError("The line is cut short.", where=where, remedy="Mend that line.")
        found.append(Line(where, {key: value or "" for key, value in row.items() if key}))
    return found


def number_of(text: str, where: str, *, low: float, high: float) -> float:
    """Return a number within a range.

    Raises
    ------
    RecordError
        If it is none, or lies outside.
    """
    try:
        found = float(text)
    except ValueError as error:
        raise RecordError(f"{text!r} is no number.", where=where) from error
    if not low <= found <= high:
        raise RecordError(f"{text!r} does not lie between {low:g} and {high:g}.", where=where)
    return found


def place_m(lat_deg: str, lon_deg: str, epsg: int, where: str) -> tuple[float, float]:
    """Return a place in degrees on the property's map [m]."""
    lat = number_of(lat_deg, where, low=-80.0, high=84.0)
    lon = number_of(lon_deg, where, low=-180.0, high=180.0)
    x_m, y_m = way(4326, epsg).transform(lon, lat)
    return float(x_m), float(y_m)


def gathered(
    stays: Iterable[CameraStay], sightings: Iterable[tuple[datetime, Sighting]]
) -> CamerasRead:
    """Return stays with the sightings that lie within them; of others a note tells.

    Records of one stay, time and kind are one, so that a table which tells each event and each of
    its pictures counts no deer twice.
    """
    every = {stay.key: stay for stay in stays}
    kept: dict[tuple[str, datetime, object], Sighting] = {}
    outside: dict[str, int] = {}
    for time, one in sightings:
        stay = every[one.stay]
        begun, ended = datetime.fromisoformat(stay.begun), datetime.fromisoformat(stay.ended)
        if not begun - _SLACK <= time <= ended + _SLACK:
            outside[stay.name] = outside.get(stay.name, 0) + 1
            continue
        key = (one.stay, time, one.deer)
        if key not in kept or kept[key].n_deer < one.n_deer:
            kept[key] = one
    return CamerasRead(
        log=CameraLog(
            stays=tuple(every.values()), sightings=tuple(sorted(kept.values(), key=_when))
        ),
        notes=tuple(
            f"{name}: {count} records lie outside its stay and were left out; is its clock right?"
            for name, count in outside.items()
        ),
    )


def _when(one: Sighting) -> datetime:
    """Return when a sighting was."""
    return datetime.fromisoformat(one.at)
