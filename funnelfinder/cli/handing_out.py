"""The verbs that hand things out: export, map."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath, SeveralFormats
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.telling import tell, tell_notes

if TYPE_CHECKING:
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
    paper: Annotated[str, typer.Option(metavar="PAPER", help="letter, a4, tabloid, a3.")] = (
        "letter"
    ),
) -> None:
    """Draw the map to print."""
    from funnelfinder.errors import GridError
    from funnelfinder.files.map_picture import Paper, draw_map
    from funnelfinder.files.property_file import load_run_day

    chosen = _paper(paper, tuple(one.value for one in Paper))
    found = loaded_findings(place_path)
    if found.grids is None:
        raise GridError("The property has no grids.", where=str(place_path))
    draw_map(
        found.place,
        found.grids,
        found.findings,
        file,
        paper=Paper(chosen),
        is_grey=grey,
        run_on=load_run_day(place_path),
    )
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
    ways: Annotated[
        bool, typer.Option("--ways/--no-ways", help="Seek quiet ways in too; takes longer.")
    ] = True,
    today: Annotated[
        str, typer.Option(metavar="DATE", help="Plan from this day on; usual today.")
    ] = "",
) -> None:
    """Write the field sheet for the pocket: maps, bearings, paces and the season's work."""
    from datetime import datetime

    from funnelfinder.cli.stands_on import stands_on, ways_on
    from funnelfinder.errors import GridError
    from funnelfinder.files.field_sheet import OnFoot, draw_sheet
    from funnelfinder.files.field_sheet.winds import wind_rows
    from funnelfinder.files.map_picture import Paper
    from funnelfinder.files.property_file import load_log
    from funnelfinder.plan import make_plan
    from funnelfinder.season import read_day
    from funnelfinder.stands import wind_table

    chosen = _paper(paper, ("letter", "a4"))
    found = loaded_findings(place_path)
    if found.grids is None:
        raise GridError("The property has no grids.", where=str(place_path))
    on = read_day(today) if today else datetime.now().astimezone().date()
    known = stands_on(found, on) if winds else None
    walks = ways_on(found, on, known) if ways else None
    plan = None
    if found.place.peak_breeding and found.findings.clusters:
        log = load_log(place_path)
        plan = make_plan(found.place, found.findings, today=on, log=log, ways=walks)
    else:
        tell_notes(["no peak breeding date is set, so the pages have no dated work"])
    tables = wind_table(*known) if known else None
    draw_sheet(
        found.place,
        found.grids,
        found.findings,
        file,
        plan=plan,
        winds=wind_rows(tables, found.place.settings.stands) if tables else None,
        on_foot=OnFoot(ways=walks.work if walks else {}, stands=known[1] if known else ()),
        paper=Paper(chosen),
        on=on,
    )
    tell(f"{file}: {max(1, round(file.stat().st_size / 1000))} KB; print it at 100 %.")


def _paper(word: str, known: tuple[str, ...]) -> str:
    """Return the word of a paper; wrong usage where it is none of those that fit."""
    if word.lower() not in known:
        raise typer.BadParameter(f"{word!r} is none of: {', '.join(known)}.", param_hint="--paper")
    return word.lower()
