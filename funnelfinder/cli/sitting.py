"""The verbs for stands: which trees on which winds, and which to sit tonight."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from datetime import date, time

    from funnelfinder.analysis.findings import Findings
    from funnelfinder.marks import Property
    from funnelfinder.stands import Moment, Sit, StandBase, Way, WindTable
    from funnelfinder.sun import SunDay

_MPH: Final = 0.44704
#: What stands under every output of these verbs.
CAUTIONS: Final = (
    "Full-body harness, always attached, from the ground up and down to the ground again; haul"
    " bow or unloaded gun up on a line; tell someone where you sit and when you will be back;"
    " walk out with a light.",
    "A shot goes only where you are sure of the deer and of what lies behind it; what is named"
    " above as in range or in a line of fire is only what you marked.",
    "Stands, hours, light and distances are the state agency's to rule: read its digest.",
    "Scent follows a formula for open, flat ground; in woods and hollows trust your own puff of"
    " dust first. Leaving times, alert shares and resting are judgement until your cameras say"
    " otherwise.",
)
_Date = Annotated[
    datetime | None, typer.Option("--date", formats=["%Y-%m-%d"], help="Local date; else today.")
]
_Speed = Annotated[float, typer.Option(min=0, max=60, metavar="MPH", help="Speed of the wind.")]
_SkyWord = Annotated[str, typer.Option(metavar="clear|partly|cloudy|low", help="The sky.")]
_Rut = Annotated[bool, typer.Option("--rut", help="Bucks seek or breed.")]


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("stands", epilog="Example: funnelfinder stands hollow.gpkg --gpx ways.gpx")(stands)
    app.command(
        "tonight",
        epilog="Example: funnelfinder tonight hollow.gpkg --wind NW --speed 6 --evening",
    )(tonight)
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
    rut: _Rut = False,
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
    from funnelfinder.stands import find_stands, way_ground, ways_to, wind_table
    from funnelfinder.wind import said_compass

    weather = read_wind_climate(climate) if climate else None
    moment = _moment(Half.EVENING, wind, speed * _MPH, sky, rut)
    place, findings, base = _base(place_path, on)
    trees = find_stands(base, findings.clusters)
    if not trees:
        tell("No tree fits: no woody cover at that distance from the scrapes passes the rules.")
        _tell_cautions()
        return
    table = wind_table(base, trees, speed_m_s=speed * _MPH, sky=_sky(sky), is_rut=rut)
    ways = ways_to(base, way_ground(base, Half.EVENING, _air(base, moment)), trees)
    for row, stand in enumerate(trees):
        _tell_stand(table, row, base, way=ways.get(stand.name), wind=said_compass(moment.from_deg))
    weight = weather.weight if weather else np.full(16, 1 / 16)
    _tell_set(table, weight, base, is_climate=weather is not None)
    if gpx is not None:
        count = write_ways(gpx, trees, ways, epsg=place.epsg, name=place.name)
        tell(f"{gpx}: {len(trees)} stands, {count} ways in.")
    _tell_cautions()


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
    rut: _Rut = False,
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
    from funnelfinder.stands import find_stands, way_ground, ways_to
    from funnelfinder.stands import tonight as ranked

    half = Half.MORNING if morning else Half.EVENING
    if not wind and forecast is None:
        raise typer.BadParameter("Give --wind, or --forecast FILE.", param_hint="--wind")
    log = read_sits(sat) if sat else {}
    printed = (_clock_time(sunrise), _clock_time(sunset))
    typed = _moment(half, wind, speed * _MPH, sky, rut) if wind else None
    _, findings, base = _base(place_path, on, printed)
    moment = typed or _from_forecast(forecast, half, base.day, rut)
    moment = replace(moment, spread_deg=spread)
    trees = find_stands(base, findings.clusters)
    ways = ways_to(base, way_ground(base, half, _air(base, moment)), trees)
    sits = ranked(base, trees, moment, log=log, ways=ways)
    _tell_light(base)
    if not sits:
        tell("No tree fits: no woody cover at that distance from the scrapes passes the rules.")
    for number, sit in enumerate(sits, start=1):
        _tell_sit(number, sit, has_gate=bool(ways))
    _tell_cautions()


def _base(
    place_path: Path, on: datetime | None, printed: tuple[time | None, time | None] = (None, None)
) -> tuple[Property, Findings, StandBase]:
    """Return a property, its findings and what stands are judged on."""
    from funnelfinder.analysis.sitting import property_day, sitting_base

    found = loaded_findings(place_path)
    day, note = property_day(found.place, _day_of(on))
    tell_notes([note] if note else [])
    with telling_progress() as progress:
        base = sitting_base(
            found.place, found.grids, found.findings, day.with_printed(*printed), progress=progress
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


def _sky(word: str):  # type: ignore[no-untyped-def]
    """Return the sky of a word."""
    from funnelfinder.wind import Sky

    try:
        return Sky(word.strip().lower())
    except ValueError as error:
        words = ", ".join(one.value for one in Sky)
        raise typer.BadParameter(f"{word!r} is none of: {words}.", param_hint="--sky") from error


def _moment(half, wind: str, speed_m_s: float, sky: str, is_rut: bool) -> Moment:  # type: ignore[no-untyped-def]
    """Return the moment that was typed."""
    from funnelfinder.stands import Moment
    from funnelfinder.wind import compass_deg

    return Moment(
        half=half,
        from_deg=compass_deg(wind),
        speed_m_s=speed_m_s,
        sky=_sky(sky),
        is_rut=is_rut,
    )


def _from_forecast(path: Path | None, half, day: SunDay, is_rut: bool) -> Moment:  # type: ignore[no-untyped-def]
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
        is_rut=is_rut,
    )


def _air(base: StandBase, moment: Moment):  # type: ignore[no-untyped-def]
    """Return the air of a moment."""
    from funnelfinder.stands.sits import air_of

    return air_of(base, moment)


def _tell_stand(table: WindTable, row: int, base: StandBase, *, way: Way | None, wind: str) -> None:
    """Print one stand with its wind table."""
    from funnelfinder.daylight import Half
    from funnelfinder.stands import WINDS_DEG, said_alerted
    from funnelfinder.stands.spots import said_leg
    from funnelfinder.units import said_share
    from funnelfinder.wind import said_compass

    own, stand = base.settings.stands, table.stands[row]
    letters = zip("ABC", stand.legs, strict=False)
    legs = "; ".join(said_leg(f"C{stand.cluster}{letter}", one) for letter, one in letters)
    tell(f"{stand.name}: {legs}.")
    sun = " and ".join(half.value for half in stand.sun_in_eyes)
    tell(
        f"   {said_share(stand.beside_share)} trips pass the tree itself;"
        f" {100 * stand.backdrop_share:.0f} % cover behind it;"
        f" {f'low sun in the eyes ({sun})' if sun else 'no low sun in the eyes'}."
    )
    tell(f"   In range: {'; '.join(stand.in_range) or 'no house, road or boundary you marked'}.")
    for k, half in enumerate(Half):
        tell(
            f"   {half.value.capitalize()}: {said_share(float(table.caught[row, k]))} trips caught"
            " in legal light, whatever the wind. Alerted first:"
        )
        cells = [
            f"{said_compass(deg)} {said_alerted(float(share), own)} {100 * share:.0f}"
            for deg, share in zip(WINDS_DEG, table.alerted[row, :, k], strict=True)
        ]
        for start in range(0, 16, 4):
            print("      " + "".join(f"{cell:<16}" for cell in cells[start : start + 4]).rstrip())
    words = way.words if way else "No way in leads there; mark one with the kind way-in."
    tell(f"   On {wind} in the evening. {words}")


def _tell_set(table: WindTable, weight, base: StandBase, *, is_climate: bool) -> None:  # type: ignore[no-untyped-def]
    """Print the few stands that together leave a sit on most winds."""
    import numpy as np

    from funnelfinder.stands import choose_set

    own = base.settings.stands
    both = np.repeat(weight, 2) / 2
    huntable = table.is_huntable(own).reshape(len(table.stands), -1)
    chosen = choose_set(huntable, table.worth.reshape(len(table.stands), -1), both, own.n_stands)
    names = ", ".join(table.stands[row].name for row in chosen.rows)
    source = "weighted by your wind climate" if is_climate else "every wind counted alike"
    if not chosen.rows:
        tell("No stand leaves a huntable sit on any wind.")
        return
    tell(
        f"Best few: {names}. Of all winds, evening and morning, {100 * chosen.share:.0f} % leave a"
        f" huntable sit among them ({source})."
    )


def _tell_light(base: StandBase) -> None:
    """Print sun times and legal light."""
    from funnelfinder.daylight import legal_light

    begin, end = legal_light(base.day, base.settings.daylight)
    tell(
        f"{base.day.on:%d %B %Y}: sunrise {base.day.sunrise:%H:%M}, sunset {base.day.sunset:%H:%M}"
        f" ({base.day.sunrise:%Z}); light as set {begin:%H:%M} to {end:%H:%M}; local law decides."
    )


def _tell_sit(number: int, sit: Sit, *, has_gate: bool) -> None:
    """Print one sit with its reasons."""
    tell(f"{number}. {sit.stand.name}: worth {100 * sit.worth:+.0f} of 100 trips.")
    for words in sit.why:
        tell(f"   {words}")
    if sit.way is None:
        tell("   No way in leads there." if has_gate else "   Mark a way in for the walk to it.")
    tell(f"   In range: {'; '.join(sit.stand.in_range) or 'nothing that you marked'}.")


def _tell_cautions() -> None:
    """Print what stands under every result."""
    print()
    for words in CAUTIONS:
        tell(words)
