"""The verbs that hand things out: export, map."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath, SeveralFormats
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from datetime import date

    from funnelfinder.cli.running import Found
    from funnelfinder.files.field_sheet import WindRow
    from funnelfinder.files.take_along import Written


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command(
        "export",
        cls=SeveralFormats,
        epilog="Example: funnelfinder export hollow.gpkg gps/ --formats gpx kml",
    )(export)
    app.command("sheet", epilog="Example: funnelfinder sheet hollow.gpkg pocket.pdf")(sheet)
    app.command("map", epilog="Example: funnelfinder map hollow.gpkg hollow.pdf")(draw)


def export(
    place_path: PropertyPath,
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where to; a memory card for instance.")
    ],
    *,
    formats: Annotated[
        list[str] | None,
        typer.Option(metavar="FORMAT...", help="gpx, kml, geojson, csv, gpkg; all by default."),
    ] = None,
    ways_in: Annotated[
        bool, typer.Option("--ways-in", help="Write the way-in marks as points too.")
    ] = False,
) -> None:
    """Write the points for a GPS, maps and tables, and the report."""
    from funnelfinder.files.take_along import FORMATS, write_points
    from funnelfinder.report import report_text

    chosen = [word for text in formats or FORMATS for word in text.replace(",", " ").split()]
    unknown = [word for word in chosen if word not in FORMATS]
    if unknown:
        raise typer.BadParameter(
            f"{unknown[0]!r} is none of: {', '.join(FORMATS)}.", param_hint="--formats"
        )
    found = loaded_findings(place_path)
    written = write_points(
        found.place,
        found.findings,
        folder,
        list(dict.fromkeys(chosen)),
        stem=place_path.stem,
        elevation=found.elevation,
        with_ways_in=ways_in,
        report=report_text(found.place, found.findings, is_current=found.is_current),
    )
    for line in said_written(written):
        tell(line)
    tell("Read back and equal. Eject a card before you pull it.")


def said_written(written: list[Written]) -> list[str]:
    """Return one line for each file."""
    return [
        f"{one.path}: {f'{one.n_points} points, ' if one.n_points else ''}"
        f"{max(1, round(one.n_bytes / 1000))} KB"
        for one in written
    ]


def draw(
    place_path: PropertyPath,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .png or .pdf.")],
    *,
    grey: Annotated[bool, typer.Option("--grey", help="Black-and-white, with lines.")] = False,
) -> None:
    """Draw the map to print."""
    from funnelfinder.errors import GridError
    from funnelfinder.files.map_picture import draw_map

    found = loaded_findings(place_path)
    if found.grids is None:
        raise GridError("The property has no grids.", where=str(place_path))
    draw_map(found.place, found.grids, found.findings, file, is_grey=grey)
    tell(f"{file}: {max(1, round(file.stat().st_size / 1000))} KB")


def sheet(
    place_path: PropertyPath,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .pdf.")],
    *,
    paper: Annotated[str, typer.Option(metavar="letter|a4", help="What the printer holds.")] = (
        "letter"
    ),
    winds: Annotated[
        bool, typer.Option("--winds", help="Stands with their wind tables too; takes longer.")
    ] = False,
) -> None:
    """Write the field sheet for the pocket: maps, bearings, paces and the season's work."""
    from datetime import datetime

    from funnelfinder.errors import GridError
    from funnelfinder.files.field_sheet import draw_sheet
    from funnelfinder.files.map_picture import Paper
    from funnelfinder.files.property_file import load_log
    from funnelfinder.plan import make_plan

    if paper.lower() not in ("letter", "a4"):
        raise typer.BadParameter(f"{paper!r} is none of: letter, a4.", param_hint="--paper")
    found = loaded_findings(place_path)
    if found.grids is None:
        raise GridError("The property has no grids.", where=str(place_path))
    today = datetime.now().astimezone().date()
    plan = None
    if found.place.peak_breeding and found.findings.clusters:
        plan = make_plan(found.place, found.findings, today=today, log=load_log(place_path))
    else:
        tell_notes(["no peak breeding date is set, so the pages have no dated work"])
    draw_sheet(
        found.place,
        found.grids,
        found.findings,
        file,
        plan=plan,
        winds=_wind_rows(found, today) if winds else None,
        paper=Paper(paper.lower()),
        on=today,
    )
    tell(f"{file}: {max(1, round(file.stat().st_size / 1000))} KB; print it at 100 %.")


def _wind_rows(found: Found, today: date) -> dict[int, list[WindRow]]:
    """Return the wind tables of the clusters' stands."""
    from funnelfinder.analysis import phase_of_day
    from funnelfinder.analysis.sitting import property_day, sitting_base
    from funnelfinder.files.field_sheet.winds import wind_rows
    from funnelfinder.stands import stands_for, wind_table

    day, note = property_day(found.place, today)
    tell_notes([note] if note else [])
    now = phase_of_day(found.place, today)
    tell_notes([now.words])
    with telling_progress() as progress:
        base = sitting_base(
            found.place, found.grids, found.findings, day, phase=now.phase, progress=progress
        )
    trees = stands_for(base, found.findings.clusters, found.place.stands)
    return wind_rows(wind_table(base, trees), found.place.settings.stands)
