"""Camera records from tables in the open exchange format for camera traps, as visits.

References
----------
.. [1] J. W. Bubnicki et al., "Camtrap DP: an open standard for the FAIR exchange and archiving of
   camera trap data", Remote Sens. Ecol. Conserv. 10, 283-295, 2024.
.. [2] T. G. O'Brien, M. F. Kinnaird and H. T. Wibisono, Anim. Conserv. 6, 131-139, 2003: records
   of one kind at least 30 minutes apart are visits of their own.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from funnelfinder.errors import RecordError

#: Least time between two visits (O'Brien et al. 2003); 60 minutes are common too.
APART_MIN: Final = 30.0
WHITETAIL: Final = "Odocoileus virginianus"
_DEPLOYMENT: Final = (
    "deploymentID",
    "latitude",
    "longitude",
    "deploymentStart",
    "deploymentEnd",
)
_OBSERVATION: Final = ("deploymentID", "eventStart", "scientificName")


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraRecord:
    """One camera while it hung at one place.

    ``nights`` are its days and parts of days; ``visits`` the times at which visits began.
    """

    name: str
    lat_deg: float
    lon_deg: float
    nights: float
    visits: tuple[datetime, ...]


def read_camera_log(
    deployments: Path,
    observations: Path,
    *,
    species: str = WHITETAIL,
    apart_min: float = APART_MIN,
) -> tuple[CameraRecord, ...]:
    """Return what each camera recorded of a species.

    Parameters
    ----------
    deployments, observations : Path
        The two tables, CSV.
    species : str
        Scientific name.
    apart_min : float
        Records nearer in time than this to the one before belong to the same visit [min].

    Raises
    ------
    RecordError
        If a table cannot be read, a column is missing or a cell cannot be used.
    """
    times: dict[str, set[datetime]] = {}
    for number, row in _rows(observations, _OBSERVATION):
        if row["scientificName"].strip().lower() == species.lower():
            time = _time(row["eventStart"], observations, number)
            times.setdefault(row["deploymentID"], set()).add(time)
    found = []
    for number, row in _rows(deployments, _DEPLOYMENT):
        begin, end = (
            _time(row[name], deployments, number) for name in ("deploymentStart", "deploymentEnd")
        )
        nights = (end - begin) / timedelta(days=1)
        if nights <= 0:
            raise RecordError("A camera ended before it began.", where=f"{deployments}, {number}")
        found.append(
            CameraRecord(
                name=row["deploymentID"],
                lat_deg=_number(row["latitude"], deployments, number),
                lon_deg=_number(row["longitude"], deployments, number),
                nights=nights,
                visits=visits_of(sorted(times.get(row["deploymentID"], ())), apart_min),
            )
        )
    return tuple(found)


def visits_of(times: list[datetime], apart_min: float = APART_MIN) -> tuple[datetime, ...]:
    """Return when visits began: records at least so long after the record before, in order.

    Examples
    --------
    >>> at = [datetime(2026, 11, 1, 7, minute) for minute in (0, 20, 45)]
    >>> [one.minute for one in visits_of([*at, datetime(2026, 11, 1, 8, 15)])]
    [0, 15]
    """
    least = timedelta(minutes=apart_min)
    return tuple(time for k, time in enumerate(times) if k == 0 or time - times[k - 1] >= least)


def _rows(path: Path, columns: tuple[str, ...]) -> list[tuple[int, dict[str, str]]]:
    """Return the rows of a table with their line numbers."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            missing = [name for name in columns if name not in (reader.fieldnames or ())]
            rows = [(reader.line_num, row) for row in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise RecordError("The table cannot be read.", where=str(path)) from error
    if missing:
        raise RecordError(
            f"The column {missing[0]} is missing.",
            where=str(path),
            remedy="Export the deployments and observations tables of Camtrap DP.",
        )
    for number, row in rows:
        if any(row[name] is None for name in columns):
            raise RecordError("The line is cut short.", where=f"{path}, line {number}")
    return rows


def _time(text: str, path: Path, number: int) -> datetime:
    """Return a time with its zone."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError as error:
        raise RecordError(f"{text!r} is no time.", where=f"{path}, line {number}") from error
    if found.tzinfo is None:
        raise RecordError(
            f"{text!r} does not tell its time zone.",
            where=f"{path}, line {number}",
            remedy="Write it like 2026-11-07T06:40:00-05:00.",
        )
    return found


def _number(text: str, path: Path, number: int) -> float:
    """Return a number of degrees."""
    try:
        found = float(text)
    except ValueError as error:
        raise RecordError(f"{text!r} is no number.", where=f"{path}, line {number}") from error
    if not -180.0 <= found <= 180.0:
        raise RecordError(f"{text!r} is no place.", where=f"{path}, line {number}")
    return found
