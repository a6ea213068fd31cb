"""The verb of the cameras: add their records, and say what they tell."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from datetime import date, tzinfo

    from funnelfinder.analysis import Watched
    from funnelfinder.cli.running import Found
    from funnelfinder.evidence import CameraLog
    from funnelfinder.marks import Property
    from funnelfinder.stands import WindTable

_DayText = Annotated[str, typer.Option(metavar="DATE", help="As 2026-10-03.")]


def add_to(app: typer.Typer) -> None:
    """Add this verb to the program."""
    app.command("cameras", epilog="Example: funnelfinder cameras hollow.gpkg cards.csv")(cameras)


def cameras(
    place_path: PropertyPath,
    tables: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[TABLE...]",
            help="Records to add: one plain table, or the two of Camtrap DP or their folder.",
        ),
    ] = None,
    *,
    species: Annotated[
        str, typer.Option(metavar="NAME", help="Scientific name, for Camtrap DP tables.")
    ] = "Odocoileus virginianus",
    drop: Annotated[
        str, typer.Option(metavar="CAMERA", help="Take out the records of this camera.")
    ] = "",
    example: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write a plain table to fill in.")
    ] = None,
    since: _DayText = "",
    until: _DayText = "",
    apart: Annotated[
        float,
        typer.Option(min=1, max=1440, metavar="MIN", help="Records so far apart are two visits."),
    ] = 30.0,
    nights: Annotated[
        float, typer.Option(min=1, max=365, metavar="N", help="How long the next camera hangs.")
    ] = 14.0,
    today: Annotated[
        str, typer.Option(metavar="DATE", help="Look back from this day; usual today.")
    ] = "",
    days: Annotated[
        int, typer.Option(min=1, max=365, metavar="N", help="How far back, for when to go in.")
    ] = 14,
    winds: Annotated[
        bool, typer.Option("--winds", help="The winds of each stand too; takes longer.")
    ] = False,
) -> None:
    """Add camera records, and say which trips are walked, which spots gain, and when to go in."""
    from funnelfinder.files.property_file import load_cameras, load_log
    from funnelfinder.plan import going_in
    from funnelfinder.report import cameras_text
    from funnelfinder.season import read_day

    if example is not None:
        _write_example(example)
        return
    found = loaded_findings(place_path)
    if drop:
        _drop(place_path, found.place, drop)
        return
    if tables:
        _add(place_path, found, tables, species)
    log = load_cameras(place_path)
    on = read_day(today) if today else datetime.now().astimezone().date()
    told = _watched(found, _within(log, found.place, since, until), apart, nights)
    going = going_in(
        found.place,
        found.findings,
        log,
        today=on,
        log=load_log(place_path),
        days=days,
        winds=_wind_table(found, on) if winds else None,
    )
    if not log.stays:
        tell_notes(["no camera records are kept yet, so the model stands alone"])
    print(cameras_text(told, going, days=days), end="")


def _watched(found: Found, log: CameraLog, apart_min: float, nights: float) -> Watched:
    """Return what cameras say, telling how far it is."""
    from funnelfinder.analysis import place_for_phase, watched
    from funnelfinder.errors import GridError

    if found.grids is None:
        raise GridError("The property has no grids.", where=found.place.name)
    with telling_progress() as progress:
        return watched(
            place_for_phase(found.place, found.place.season.phase),
            found.grids,
            found.findings,
            log,
            apart_min=apart_min,
            next_nights=nights,
            progress=progress,
        )


def _wind_table(found: Found, on: date) -> WindTable:
    """Return what the stands in force are worth on 16 winds."""
    from funnelfinder.cli.stands_on import stands_on
    from funnelfinder.stands import wind_table

    base, stands = stands_on(found, on)
    return wind_table(base, stands)


def _zone(place: Property) -> tzinfo:
    """Return the clock of a property."""
    from funnelfinder.analysis import sun_clock

    return sun_clock(place)[0].zone


def _add(place_path: Path, found: Found, tables: list[Path], species: str) -> None:
    """Keep the records of tables."""
    from funnelfinder.files.cameras_in import read_cameras
    from funnelfinder.files.property_file import change_cameras

    place = found.place
    if not place.time_zone:
        tell_notes(["no time zone is set; times without one are taken by the longitude's clock"])
    read = read_cameras(tables, place, found.findings, zone=_zone(place), species=species)
    tell_notes(read.notes)
    change_cameras(place_path, lambda log: log.with_records(read.log), epsg=place.epsg)
    tell(f"{len(read.log.stays)} camera stays, {len(read.log.sightings)} sightings kept.")


def _drop(place_path: Path, place: Property, name: str) -> None:
    """Take out the records of a camera."""
    from funnelfinder.files.property_file import change_cameras, load_cameras

    keys = [stay.key for stay in load_cameras(place_path).stays if stay.name == name]
    if not keys:
        known = ", ".join(dict.fromkeys(one.name for one in load_cameras(place_path).stays))
        raise typer.BadParameter(
            f"There is no camera {name!r}; there are: {known or 'none'}.", param_hint="--drop"
        )

    def without(log: CameraLog) -> CameraLog:
        for key in keys:
            log = log.without(key)
        return log

    change_cameras(place_path, without, epsg=place.epsg)
    tell(f"{name}: {len(keys)} stays taken out.")


def _within(log: CameraLog, place: Property, since: str, until: str) -> CameraLog:
    """Return the records between two days, both included."""
    from datetime import time

    from funnelfinder.season import read_day

    zone = _zone(place)
    return log.between(
        datetime.combine(read_day(since), time.min, zone) if since else None,
        datetime.combine(read_day(until), time.max, zone) if until else None,
    )


def _write_example(path: Path) -> None:
    """Write a plain table to a file that is not there yet."""
    from funnelfinder.errors import ExportError
    from funnelfinder.files.cameras_in import EXAMPLE

    try:
        with path.open("x", encoding="utf-8") as out:
            out.write(EXAMPLE)
    except OSError as error:
        raise ExportError(
            f"It could not be written: {error.strerror or error}.",
            where=str(path),
            remedy="Name a new file in a folder that exists.",
        ) from error
    tell(f"{path}: fill it in, one line for each sighting.")
