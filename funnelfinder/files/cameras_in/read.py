"""Reads whatever camera tables a person gives, and keeps what hangs on or about the property."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo
from pathlib import Path
from typing import Final

import shapely

from funnelfinder.analysis.findings import Findings
from funnelfinder.errors import RecordError
from funnelfinder.evidence import CameraLog, CameraStay
from funnelfinder.files.cameras_in.exchange import (
    DEPLOYMENT_COLUMNS,
    OBSERVATION_COLUMNS,
    WHITETAIL,
    read_exchange_tables,
)
from funnelfinder.files.cameras_in.plain import read_plain_table
from funnelfinder.files.cameras_in.rows import CamerasRead
from funnelfinder.marks import Property

_TABLES: Final = ("deployments.csv", "observations.csv")


def read_cameras(
    paths: Sequence[Path],
    place: Property,
    findings: Findings | None,
    *,
    zone: tzinfo,
    species: str = WHITETAIL,
) -> CamerasRead:
    """Return the camera records of one plain table, of two exchange tables, or of their folder.

    Parameters
    ----------
    paths : sequence of Path
        One plain table; or deployments and observations in any order; or a folder with both.
    place : Property
        Cameras farther off it than the surround are left out, with a note.
    findings : Findings, optional
        Whose clusters a plain table may name.
    zone : tzinfo
        The property's clock, for times that do not tell theirs.
    species : str
        Scientific name, for the exchange tables.

    Raises
    ------
    RecordError
        If they are none of these, cannot be read, or no camera hangs near the property.
    """
    given = list(paths)
    if len(given) == 1 and given[0].is_dir():
        given = [given[0] / name for name in _TABLES]
    if len(given) == 1:
        clusters = {one.number: one.camera_m for one in findings.clusters} if findings else {}
        read = read_plain_table(given[0], epsg=place.epsg, zone=zone, clusters=clusters)
    elif len(given) == len(_TABLES):
        deployments, observations = sorted(given, key=_is_observations)
        read = read_exchange_tables(deployments, observations, epsg=place.epsg, species=species)
    else:
        raise RecordError(
            f"{len(given)} files are too many.",
            where=str(given[0]) if given else "cameras",
            remedy="Give one plain table, or the two exchange tables.",
        )
    return _near(read, place, str(given[0]))


def _is_observations(path: Path) -> bool:
    """Return whether a table has the columns of observations and lacks those of deployments."""
    try:
        with path.open(encoding="utf-8-sig") as file:
            head = file.readline()
    except (OSError, UnicodeDecodeError) as error:
        raise RecordError(
            "The table cannot be read.", where=str(path), remedy="Give a CSV file in UTF-8."
        ) from error
    names = {name.strip().strip('"') for name in head.split(",")}
    return set(OBSERVATION_COLUMNS) <= names and not set(DEPLOYMENT_COLUMNS) <= names


def _near(read: CamerasRead, place: Property, where: str) -> CamerasRead:
    """Return the records of cameras on or about the property."""
    ground = place.boundary.buffer(place.settings.ground.surround_m)

    def is_near(stay: CameraStay) -> bool:
        return bool(ground.covers(shapely.Point(stay.x_m, stay.y_m)))

    far = [stay for stay in read.log.stays if not is_near(stay)]
    if not far:
        return read
    if len(far) == len(read.log.stays):
        raise RecordError(
            f"None of its {len(far)} cameras hangs on or about {place.name}.",
            where=where,
            remedy="Look at latitude and longitude, and at their signs.",
        )
    gone = {stay.key for stay in far}
    names = ", ".join(dict.fromkeys(stay.name for stay in far))
    return CamerasRead(
        log=CameraLog(
            stays=tuple(stay for stay in read.log.stays if stay.key not in gone),
            sightings=tuple(one for one in read.log.sightings if one.stay not in gone),
        ),
        notes=(*read.notes, f"Off the property and left out: {names}."),
    )
