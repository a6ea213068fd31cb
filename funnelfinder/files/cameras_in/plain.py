"""Camera records from a plain table: one line for each sighting, in the property's own clock."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, tzinfo
from pathlib import Path
from typing import Final

from funnelfinder.errors import RecordError
from funnelfinder.evidence import CameraStay, Deer, Sighting
from funnelfinder.files.cameras_in.rows import (
    CamerasRead,
    Line,
    gathered,
    number_of,
    place_m,
    read_lines,
)

PLAIN_COLUMNS: Final = (
    "camera",
    "cluster",
    "latitude",
    "longitude",
    "from",
    "to",
    "seen",
    "deer",
    "count",
    "note",
)
#: What a table looks like; the third line is a camera that saw nothing.
EXAMPLE: Final = (
    ",".join(PLAIN_COLUMNS)
    + """
Saddle,1,,,2026-10-03,2026-10-24,2026-10-09 18:41,doe,2,
Saddle,1,,,2026-10-03,2026-10-24,2026-10-21 07:32,mature buck,1,came from the north
Creek,,38.8301,-82.1503,2026-10-03,2026-10-24,,,,card was full of leaves
"""
)
_REMEDY: Final = "Write an example with --example FILE, and fill in that."
_MOST_DEER: Final = 1000


@dataclass(frozen=True, kw_only=True)
class _Reading:
    """What a plain table is read with: map, clock, and where the clusters' cameras hang."""

    epsg: int
    zone: tzinfo
    clusters: Mapping[int, tuple[float, float]]

    def time(self, text: str, where: str, *, day_is_enough: bool) -> datetime:
        """Return a time; one without a zone is of the property's clock, a day is its noon."""
        plain = text.strip()
        try:
            found = datetime.fromisoformat(plain)
        except ValueError as error:
            raise RecordError(
                f"{text!r} is no time.", where=where, remedy="Write it like 2026-11-07 06:40."
            ) from error
        if len(plain) <= len("2026-11-07"):
            if not day_is_enough:
                raise RecordError(
                    f"{text!r} does not tell the time of day.",
                    where=where,
                    remedy="Write it like 2026-11-07 06:40.",
                )
            found = datetime.combine(found.date(), time(12))
        return found if found.tzinfo else found.replace(tzinfo=self.zone)

    def place(self, line: Line) -> tuple[float, float]:
        """Return where a line's camera hung: at a cluster, or in degrees."""
        number = line.cells["cluster"].strip()
        if not number:
            return place_m(line.cells["latitude"], line.cells["longitude"], self.epsg, line.where)
        if not number.isdecimal() or int(number) not in self.clusters:
            known = ", ".join(map(str, self.clusters)) or "none"
            raise RecordError(
                f"There is no cluster {number!r}.",
                where=line.where,
                remedy=f"Give one of: {known}; or latitude and longitude.",
            )
        return self.clusters[int(number)]


def read_plain_table(
    path: Path, *, epsg: int, zone: tzinfo, clusters: Mapping[int, tuple[float, float]]
) -> CamerasRead:
    """Return what a plain table holds.

    A stay is one camera from one day on; a line whose ``seen`` is empty tells of a camera that saw
    nothing (more). Of lines that give a stay different ends the latest counts.

    Parameters
    ----------
    path : Path
        The table, CSV; see `EXAMPLE`.
    epsg : int
        Of the property.
    zone : tzinfo
        The property's clock, for times that do not tell theirs.
    clusters : mapping of int to (float, float)
        Where the camera of each cluster hangs, by its number [m].

    Raises
    ------
    RecordError
        If the table cannot be read, a column is missing or a cell cannot be used.
    """
    reading = _Reading(epsg=epsg, zone=zone, clusters=clusters)
    lines = read_lines(path, PLAIN_COLUMNS, remedy=_REMEDY)
    if not lines:
        raise RecordError("It holds no line.", where=str(path), remedy=_REMEDY)
    stays: dict[tuple[str, str], CameraStay] = {}
    for line in lines:
        stay = _stay(line, reading)
        known = stays.get(_name(line))
        if known is not None:
            later = max(known.ended, stay.ended, key=datetime.fromisoformat)
            stay = replace(known, ended=later)
        stays[_name(line)] = stay
    return gathered(stays.values(), _sightings(lines, stays, reading))


def _name(line: Line) -> tuple[str, str]:
    """Return what a line's stay is known by."""
    return line.cells["camera"].strip(), line.cells["from"].strip()


def _stay(line: Line, reading: _Reading) -> CameraStay:
    """Return the stay that a line tells of."""
    begun, ended = (
        reading.time(line.cells[name], line.where, day_is_enough=True) for name in ("from", "to")
    )
    if ended <= begun:
        raise RecordError(
            "A camera ended before it began.", where=line.where, remedy="Mend the two times."
        )
    x_m, y_m = reading.place(line)
    try:
        return CameraStay(
            name=line.cells["camera"].strip(),
            begun=begun.isoformat(),
            ended=ended.isoformat(),
            x_m=x_m,
            y_m=y_m,
        )
    except RecordError as error:
        raise RecordError(error.what, where=line.where, remedy=error.remedy) from error


def _sightings(
    lines: list[Line], stays: Mapping[tuple[str, str], CameraStay], reading: _Reading
) -> Iterator[tuple[datetime, Sighting]]:
    """Yield the sightings with their times."""
    for line in lines:
        if not line.cells["seen"].strip():
            continue
        at = reading.time(line.cells["seen"], line.where, day_is_enough=False)
        count = line.cells["count"].strip() or "1"
        yield (
            at,
            Sighting(
                stay=stays[_name(line)].key,
                at=at.isoformat(),
                deer=_deer(line),
                n_deer=int(number_of(count, line.where, low=1, high=_MOST_DEER)),
                note=line.cells["note"].strip(),
            ),
        )


def _deer(line: Line) -> Deer:
    """Return which deer a line tells of."""
    word = " ".join(line.cells["deer"].lower().split()) or Deer.ANY.value
    try:
        return Deer(word)
    except ValueError as error:
        known = ", ".join(one.value for one in Deer)
        raise RecordError(
            f"{word!r} is no deer.", where=line.where, remedy=f"Write one of: {known}."
        ) from error
