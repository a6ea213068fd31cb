"""Camera records from tables in the open exchange format for camera traps.

References
----------
.. [1] J. W. Bubnicki et al., "Camtrap DP: an open standard for the FAIR exchange and archiving of
   camera trap data", Remote Sens. Ecol. Conserv. 10, 283-295, 2024.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Final

from funnelfinder.errors import RecordError
from funnelfinder.evidence import CameraStay, Deer, Sighting, read_time
from funnelfinder.files.cameras_in.rows import (
    CamerasRead,
    Line,
    gathered,
    number_of,
    place_m,
    read_lines,
)

WHITETAIL: Final = "Odocoileus virginianus"
DEPLOYMENT_COLUMNS: Final = (
    "deploymentID",
    "latitude",
    "longitude",
    "deploymentStart",
    "deploymentEnd",
)
OBSERVATION_COLUMNS: Final = ("deploymentID", "eventStart", "scientificName")
_REMEDY: Final = "Export the deployments and observations tables of Camtrap DP."
_MOST_DEER: Final = 1000


def read_exchange_tables(
    deployments: Path, observations: Path, *, epsg: int, species: str = WHITETAIL
) -> CamerasRead:
    """Return what each camera recorded of a species.

    The format tells sex and age but no mature buck: a buck is one where ``observationTags`` says
    ``mature``.

    Parameters
    ----------
    deployments, observations : Path
        The two tables, CSV.
    epsg : int
        Of the property.
    species : str
        Scientific name.

    Raises
    ------
    RecordError
        If a table cannot be read, a column is missing or a cell cannot be used.
    """
    lines = read_lines(deployments, DEPLOYMENT_COLUMNS, remedy=_REMEDY)
    stays = {line.cells["deploymentID"]: _stay(line, epsg) for line in lines}
    if len(stays) != len(lines):
        raise RecordError(
            "Two deployments have one name.", where=str(deployments), remedy="Name each once."
        )
    seen = read_lines(observations, OBSERVATION_COLUMNS, remedy=_REMEDY)
    read = gathered(stays.values(), _sightings(seen, stays, species))
    unsure = [
        line.cells["deploymentID"]
        for line in lines
        if line.cells.get("timestampIssues", "").strip().lower() == "true"
    ]
    return CamerasRead(
        log=read.log,
        notes=(
            *read.notes,
            *(f"{name}: its clock is unsure, by its table." for name in unsure),
        ),
    )


def _stay(line: Line, epsg: int) -> CameraStay:
    """Return the stay of a deployment."""
    cells = line.cells
    begun, ended = (
        read_time(cells[name], where=line.where) for name in ("deploymentStart", "deploymentEnd")
    )
    if ended <= begun:
        raise RecordError(
            "A camera ended before it began.", where=line.where, remedy="Mend the two times."
        )
    x_m, y_m = place_m(cells["latitude"], cells["longitude"], epsg, line.where)
    return CameraStay(
        name=cells["deploymentID"],
        begun=begun.isoformat(),
        ended=ended.isoformat(),
        x_m=x_m,
        y_m=y_m,
        note=cells.get("locationName", ""),
    )


def _sightings(
    lines: list[Line], stays: dict[str, CameraStay], species: str
) -> Iterator[tuple[datetime, Sighting]]:
    """Yield the sightings of a species with their times."""
    for line in lines:
        if line.cells["scientificName"].strip().lower() != species.strip().lower():
            continue
        time = read_time(line.cells["eventStart"], where=line.where)
        name = line.cells["deploymentID"]
        if name not in stays:
            raise RecordError(f"There is no deployment {name!r}.", where=line.where, remedy=_REMEDY)
        count = line.cells.get("count", "").strip() or "1"
        yield (
            time,
            Sighting(
                stay=stays[name].key,
                at=time.isoformat(),
                deer=_deer(line),
                n_deer=int(number_of(count, line.where, low=1, high=_MOST_DEER)),
            ),
        )


def _deer(line: Line) -> Deer:
    """Return which deer a line tells of."""
    sex, stage, tags = (
        line.cells.get(name, "").strip().lower() for name in ("sex", "lifeStage", "observationTags")
    )
    if stage == "juvenile":
        return Deer.FAWN
    if sex == "male":
        return Deer.MATURE_BUCK if "mature" in tags.replace("immature", "") else Deer.BUCK
    return Deer.DOE if sex == "female" else Deer.ANY
