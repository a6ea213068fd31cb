"""The verbs of the season: season, plan, log."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.telling import tell, tell_notes

if TYPE_CHECKING:
    from datetime import date

    from funnelfinder.marks import Property

Peak = Annotated[str, typer.Option(metavar="MM-DD", help="Local peak breeding date, as 11-15.")]
Place = Annotated[
    str, typer.Option(metavar="STATE", help='Take a published date: "Ohio", "Georgia, Clinch".')
]


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("season", epilog="Example: funnelfinder season hollow.gpkg --peak 11-15")(season)
    app.command(
        "plan", epilog="Example: funnelfinder plan hollow.gpkg --peak 11-15 --calendar season.ics"
    )(plan)
    app.command("log", epilog="Example: funnelfinder log hollow.gpkg opened 2 --on 2026-10-03")(log)


def season(
    place_path: PropertyPath,
    *,
    peak: Peak = "",
    place: Place = "",
    opening: Annotated[str, typer.Option(metavar="MM-DD", help="Opening day of your season.")] = "",
    velvet: Annotated[
        str, typer.Option(metavar="MM-DD", help="Day on which bucks here shed velvet.")
    ] = "",
    scent: Annotated[
        str,
        typer.Option(
            metavar="WORD",
            help="What scent is allowed there: natural, certified, synthetic, none, unknown.",
        ),
    ] = "",
    time_zone: Annotated[
        str, typer.Option(metavar="ZONE", help="Time zone, as America/New_York.")
    ] = "",
    core: Annotated[
        bool | None, typer.Option("--core/--no-core", help="Work in a buck's core may be planned.")
    ] = None,
    rules: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your own work table, a CSV file.")
    ] = None,
    write_rules: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the work table, to change it.")
    ] = None,
    today: Annotated[
        str, typer.Option(metavar="DATE", help="Tell the season of this day; usual today.")
    ] = "",
) -> None:
    """Set or print the choices for the season: peak breeding, opening, scent, work table."""
    from dataclasses import replace

    from funnelfinder.files.property_file import load_place, save_place
    from funnelfinder.season import read_day, zone_of

    on = read_day(today) if today else datetime.now().astimezone().date()
    before = load_place(place_path)
    given: dict[str, Any] = {
        key: value
        for key, value in {
            "opening": opening,
            "velvet": velvet,
            "may_enter_core": core,
        }.items()
        if value not in ("", None)
    }
    if time_zone:
        zone_of(time_zone)
    if scent:
        given["allowance"] = _allowance(scent)
    if rules is not None:
        given["rules"] = _rules(rules)
    after = replace(
        before,
        season=replace(before.season, **given),
        peak_breeding=_peak(peak, place) or before.peak_breeding,
        time_zone=time_zone or before.time_zone,
    )
    if after != before:
        save_place(place_path, after)
    if write_rules is not None:
        _write_rules(after, write_rules)
    for line in _said_season(after, on):
        tell(line)


def _allowance(word: str) -> Any:
    """Return what scent is allowed; wrong usage where the word is none."""
    from funnelfinder.season import Allowance

    known = [one.value for one in Allowance]
    if word.lower() not in known:
        raise typer.BadParameter(f"{word!r} is none of: {', '.join(known)}.", param_hint="--scent")
    return Allowance(word.lower())


def _peak(peak: str, place: str) -> str:
    """Return the peak that was given or published, empty where neither."""
    from funnelfinder.season import month_day, published_peak

    if peak:
        return "{:02d}-{:02d}".format(*month_day(peak))
    if not place:
        return ""
    found = published_peak(place)
    said = f"{found.label}: {found.peak} ({found.measure}); {found.source} {found.year}".rstrip()
    tell_notes([f"{said}, {found.sure}. Your agency may know better."])
    return found.peak


def _rules(path: Path) -> Any:
    """Return the work table of a file."""
    from funnelfinder.errors import SettingError
    from funnelfinder.season import rules_from_csv

    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise SettingError("The work table cannot be read.", where=str(path)) from error
    return rules_from_csv(text, where=str(path))


def _write_rules(place: Property, path: Path) -> None:
    """Write the work table to a file that is not there yet."""
    from funnelfinder.errors import ExportError
    from funnelfinder.season import rules_to_csv

    try:
        with path.open("x", encoding="utf-8") as out:
            out.write(rules_to_csv(place.season.rules))
    except OSError as error:
        raise ExportError(
            f"It could not be written: {error.strerror or error}.",
            where=str(path),
            remedy="Name a new file in a folder that exists.",
        ) from error


def _said_season(place: Property, on: date) -> list[str]:
    """Return the choices and phases in words."""
    from funnelfinder.plan import plan_cautions, season_peak
    from funnelfinder.season import UNSURE_DAYS, said_about, spans

    choices = place.season
    lines = [
        *plan_cautions(choices.allowance)[:2],
        f"Peak breeding {place.peak_breeding or 'not set'}, opening {choices.opening or 'not set'},"
        f" velvet {choices.velvet or 'not set'}, scent {choices.allowance.value}, time zone"
        f" {place.time_zone or 'not set'}, {len(choices.rules)} work rules.",
    ]
    if place.peak_breeding:
        peak_on = season_peak(place, on)
        for span in spans(peak_on, place.settings.season, velvet=choices.velvet)[1:]:
            lines.append(f"{span.phase.value}: from {said_about(span.first)} {span.first.year}")
        lines.append(f"Each is known to {UNSURE_DAYS} days at best.")
    return lines


def plan(
    place_path: PropertyPath,
    *,
    peak: Peak = "",
    place: Place = "",
    calendar: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write it as .ics or .csv too.")
    ] = None,
    today: Annotated[
        str, typer.Option(metavar="DATE", help="Plan from this day on; usual today.")
    ] = "",
    ways: Annotated[
        bool, typer.Option("--ways/--no-ways", help="Seek quiet ways in too; takes longer.")
    ] = True,
) -> None:
    """Print the season's dated work at the clusters, law and health first."""
    from dataclasses import replace

    from funnelfinder.cli.stands_on import ways_on
    from funnelfinder.files.calendar_out import write_calendar
    from funnelfinder.files.property_file import load_log
    from funnelfinder.plan import make_plan, plan_text
    from funnelfinder.season import read_day

    now = datetime.now().astimezone()
    found = loaded_findings(place_path)
    chosen = _peak(peak, place)
    owner = replace(found.place, peak_breeding=chosen) if chosen else found.place
    on = read_day(today) if today else now.date()
    made = make_plan(
        owner,
        found.findings,
        today=on,
        log=load_log(place_path),
        ways=ways_on(found, on) if ways and owner.peak_breeding else None,
    )
    print(plan_text(made), end="")
    if calendar is not None:
        write_calendar(made, calendar, time_zone=owner.time_zone, made_at=now)
        if not owner.time_zone:
            tell_notes(["no time zone is set, so the calendar's own clock counts"])
        tell(f"{calendar}: {len(made.walks)} walks")


def log(
    place_path: PropertyPath,
    done: Annotated[
        str, typer.Argument(metavar="WHAT", help="opened, freshened, sat, seen, dead ...")
    ] = "",
    cluster: Annotated[int, typer.Argument(metavar="CLUSTER", help="Number of the cluster.")] = 0,
    *,
    on: Annotated[str, typer.Option(metavar="DATE", help="As 2026-10-03; usual today.")] = "",
    note: Annotated[str, typer.Option(metavar="WORDS", help="What you saw.")] = "",
) -> None:
    """Print the log, or write down what was done at a cluster."""
    from funnelfinder.files.property_file import add_visits, load_log
    from funnelfinder.season import Done, Visit

    if not done:
        for one in load_log(place_path):
            tell(f"{one.on} {one.done.value}, {one.spot}. {one.note}".rstrip())
        return
    known = [one.value for one in Done]
    word = done.lower().replace("-", " ")
    if word not in known:
        raise typer.BadParameter(f"{done!r} is none of: {', '.join(known)}.")
    found = loaded_findings(place_path)
    spots = {one.number: one for one in found.findings.clusters}
    if cluster not in spots:
        raise typer.BadParameter(f"There is no cluster {cluster}; there are {len(spots)}.")
    spot = spots[cluster]
    xs, ys = zip(*spot.scrapes_m, strict=True)
    visit = Visit(
        on=on or datetime.now().astimezone().date().isoformat(),
        done=Done(word),
        x_m=sum(xs) / len(xs),
        y_m=sum(ys) / len(ys),
        spot=f"{spot.number} {spot.name}".strip(),
        note=note,
    )
    add_visits(place_path, [visit], epsg=found.place.epsg)
    tell(f"{visit.on} {visit.done.value}, {visit.spot}.")
