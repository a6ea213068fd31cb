"""The verbs for stands: which trees on which winds, and which to sit tonight."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.said_sits import (
    said_cluster,
    tell_cautions,
    tell_light,
    tell_set,
    tell_sit,
    tell_stand,
)
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from datetime import date, time

    from funnelfinder.analysis.findings import Findings
    from funnelfinder.daylight import Half
    from funnelfinder.marks import Property
    from funnelfinder.season import Phase
    from funnelfinder.stands import Moment, StandBase
    from funnelfinder.sun import SunDay
    from funnelfinder.wind import Sky

_MPH: Final = 0.44704
_Date = Annotated[
    datetime | None, typer.Option("--date", formats=["%Y-%m-%d"], help="Local date; else today.")
]
_Speed = Annotated[float, typer.Option(min=0, max=60, metavar="MPH", help="Speed of the wind.")]
_SkyWord = Annotated[str, typer.Option(metavar="clear|partly|cloudy|low", help="The sky.")]
_PhaseWord = Annotated[
    str,
    typer.Option(
        "--phase",
        metavar="PHASE",
        help="Part of the season, like pre-rut or seeking; else that of the date.",
    ),
]


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("stands", epilog="Example: funnelfinder stands hollow.gpkg --gpx ways.gpx")(stands)
    app.command(
        "tonight",
        epilog="Example: funnelfinder tonight hollow.gpkg --wind NW --speed 6 --evening",
    )(tonight)
    app.command("daylight", epilog="Example: funnelfinder daylight hollow.gpkg evening.png")(
        daylight
    )
    app.command("clock", epilog="Example: funnelfinder clock hollow.gpkg America/New_York")(clock)


def clock(
    place_path: PropertyPath,
    zone: Annotated[str, typer.Argument(metavar="ZONE", help="Like America/New_York.")],
) -> None:
    """Set the time zone of a property, so that sun times follow its clock."""
    from dataclasses import replace

    from funnelfinder.files.property_file import load_place, save_place
    from funnelfinder.sun import zone_of

    place = load_place(place_path)
    zone_of(zone, 0.0)
    save_place(place_path, replace(place, time_zone=zone))
    tell(f"{place.name}: clock set to {zone}.")


def stands(
    place_path: PropertyPath,
    *,
    on: _Date = None,
    speed: _Speed = 7.0,
    sky: _SkyWord = "clear",
    phase: _PhaseWord = "",
    climate: Annotated[
        Path | None, typer.Option(metavar="FILE", help="CSV of hourly wind direction and speed.")
    ] = None,
    gpx: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write stands and ways in as GPX.")
    ] = None,
    wind: Annotated[str, typer.Option(metavar="DIR", help="Wind of the ways in, like NW.")] = "NW",
) -> None:
    """Print stand trees, what each is worth on each wind, and ways in."""
    import numpy as np

    from funnelfinder.daylight import Half
    from funnelfinder.files.gpx_ways import write_ways
    from funnelfinder.files.wind_climate import read_wind_climate
    from funnelfinder.stands import both_ways, stands_for, wind_table

    weather = read_wind_climate(climate) if climate else None
    moments = {half: _moment(half, wind, speed * _MPH, sky) for half in Half}
    place, findings, base = _base(place_path, on, phase)
    trees = stands_for(base, findings.clusters, place.stands)
    if not trees:
        tell("No tree fits: no woody cover at that distance from the scrapes passes the rules.")
        tell_cautions()
        return
    table = wind_table(base, trees, speed_m_s=speed * _MPH, sky=_sky(sky))
    ways = {
        f"{side}-{half.name}": found
        for half, moment in moments.items()
        for side, found in zip(("IN", "OUT"), both_ways(base, trees, moment), strict=True)
    }
    tell(f"Ways in and out are those on wind from {_said_wind(moments[Half.EVENING])}.")
    for row in range(len(trees)):
        tell_stand(table, row, base, ways)
    weight = weather.weight if weather else np.full(16, 1 / 16)
    tell_set(table, weight, base, is_climate=weather is not None)
    if gpx is not None:
        count = write_ways(gpx, trees, ways, epsg=place.epsg, name=place.name)
        tell(f"{gpx}: {len(trees)} stands, {count} ways in and out.")
    tell_cautions()


def tonight(
    place_path: PropertyPath,
    *,
    on: _Date = None,
    wind: Annotated[
        str, typer.Option(metavar="DIR", help="Where it comes from: NW, 315, or variable.")
    ] = "",
    speed: _Speed = 5.0,
    spread: Annotated[
        float, typer.Option(min=0, max=120, metavar="DEG", help="How much it swings, if known.")
    ] = 0.0,
    sky: _SkyWord = "clear",
    morning: Annotated[
        bool, typer.Option("--morning/--evening", help="Which end of the day; else evening.")
    ] = False,
    phase: _PhaseWord = "",
    forecast: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Hourly forecast (JSON) of the US weather service."),
    ] = None,
    sat: Annotated[
        Path | None, typer.Option(metavar="FILE", help="CSV of sits made: date,stand.")
    ] = None,
    sunrise: Annotated[str, typer.Option(metavar="HH:MM", help="As your printed table says.")] = "",
    sunset: Annotated[str, typer.Option(metavar="HH:MM", help="As your printed table says.")] = "",
) -> None:
    """Rank the sits of an evening or morning, with the reasons."""
    from dataclasses import replace

    from funnelfinder.daylight import Half
    from funnelfinder.files.sit_log import read_sits
    from funnelfinder.stands import both_ways, stands_for
    from funnelfinder.stands import tonight as ranked

    half = Half.MORNING if morning else Half.EVENING
    if not wind and forecast is None:
        raise typer.BadParameter("Give --wind, or --forecast FILE.", param_hint="--wind")
    log = read_sits(sat) if sat else {}
    printed = (_clock_time(sunrise), _clock_time(sunset))
    typed = _moment(half, wind, speed * _MPH, sky) if wind else None
    place, findings, base = _base(place_path, on, phase, printed)
    moment = typed or _from_forecast(forecast, half, base.day)
    moment = replace(moment, spread_deg=spread)
    trees = stands_for(base, findings.clusters, place.stands)
    ways, out = both_ways(base, trees, moment)
    sits = ranked(base, trees, moment, log=log, ways=ways, ways_out=out)
    tell_light(base)
    if not sits:
        tell("No tree fits: no woody cover at that distance from the scrapes passes the rules.")
    for number, sit in enumerate(sits, start=1):
        tell_sit(number, sit, has_gate=bool(ways))
    tell_cautions()


def daylight(
    place_path: PropertyPath,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .png or .pdf.")],
    *,
    on: _Date = None,
    morning: Annotated[
        bool, typer.Option("--morning/--evening", help="Which end of the day; else evening.")
    ] = False,
    phase: _PhaseWord = "",
) -> None:
    """Draw the passage in legal light, and say when the middle trip passes each cluster."""
    from dataclasses import replace

    import numpy as np

    from funnelfinder.daylight import Half, daylight_passage_per_m
    from funnelfinder.files.map_picture import draw_map

    half = Half.MORNING if morning else Half.EVENING
    found = loaded_findings(place_path)
    place, findings, base = _base(place_path, on, phase)
    light = daylight_passage_per_m(base.pairs, base.clock(half), base.ground.is_open)
    title = f"{place.name}, in legal light, {half.value} of {base.day.on:%d %B %Y}"
    if found.grids is not None:
        passage = light.astype(np.float32)
        draw_map(replace(place, name=title), found.grids, replace(findings, passage=passage), file)
    tell_light(base)
    for cluster in findings.clusters:
        tell(said_cluster(base, cluster, half))
    tell(f"{file}: {max(1, round(file.stat().st_size / 1000))} KB")
    tell_cautions()


def _base(
    place_path: Path,
    on: datetime | None,
    phase: str,
    printed: tuple[time | None, time | None] = (None, None),
) -> tuple[Property, Findings, StandBase]:
    """Return a property, its findings and what stands are judged on."""
    from funnelfinder.analysis import phase_of_day
    from funnelfinder.analysis.sitting import property_day, sitting_base

    forced = _phase(phase) if phase else None
    found = loaded_findings(place_path)
    day, note = property_day(found.place, _day_of(on))
    now = phase_of_day(found.place, day.on, forced=forced)
    tell_notes([note] if note else [])
    tell(now.words)
    with telling_progress() as progress:
        base = sitting_base(
            found.place,
            found.grids,
            found.findings,
            day.with_printed(*printed),
            phase=now.phase,
            progress=progress,
        )
    return found.place, found.findings, base


def _day_of(on: datetime | None) -> date:
    """Return the date that was typed, or today."""
    return (on or datetime.now().astimezone()).date()


def _clock_time(text: str) -> time | None:
    """Return a time of day as typed."""
    if not text:
        return None
    try:
        return datetime.strptime(text, "%H:%M").time()
    except ValueError as error:
        raise typer.BadParameter(f"{text!r} is not written as HH:MM.") from error


def _sky(word: str) -> Sky:
    """Return the sky of a word."""
    from funnelfinder.wind import Sky

    try:
        return Sky(word.strip().lower())
    except ValueError as error:
        words = ", ".join(one.value for one in Sky)
        raise typer.BadParameter(f"{word!r} is none of: {words}.", param_hint="--sky") from error


def _phase(word: str) -> Phase:
    """Return the part of the season of a word."""
    from funnelfinder.season import Phase

    plain = word.strip().lower().replace("-", " ").replace("_", " ")
    found = next((one for one in Phase if one.value.replace("-", " ") == plain), None)
    if found is None:
        words = ", ".join(one.value for one in Phase)
        raise typer.BadParameter(f"{word!r} is none of: {words}.", param_hint="--phase")
    return found


def _moment(half: Half, wind: str, speed_m_s: float, sky: str) -> Moment:
    """Return the moment that was typed."""
    from funnelfinder.stands import Moment
    from funnelfinder.wind import compass_deg

    return Moment(
        half=half,
        from_deg=compass_deg(wind),
        speed_m_s=speed_m_s,
        sky=_sky(sky),
    )


def _from_forecast(path: Path | None, half: Half, day: SunDay) -> Moment:
    """Return the moment that a forecast tells of: the hour of sunset, or after sunrise."""
    from datetime import timedelta

    from funnelfinder.daylight import Half
    from funnelfinder.files.forecast import hour_at, read_forecast
    from funnelfinder.stands import Moment

    hours = read_forecast(str(path))
    at = day.sunset if half is Half.EVENING else day.sunrise + timedelta(hours=1)
    hour = hour_at(hours, at, str(path))
    return Moment(
        half=half,
        from_deg=hour.from_deg,
        speed_m_s=hour.speed_m_s,
        sky=hour.sky,
    )


def _said_wind(moment: Moment) -> str:
    """Return the direction of a moment's wind."""
    from math import isnan

    from funnelfinder.wind import said_compass

    return "no steady direction" if isnan(moment.from_deg) else said_compass(moment.from_deg)
