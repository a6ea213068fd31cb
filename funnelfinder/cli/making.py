"""The verbs that make a property and put things into it: new, grids, marks, settings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath, SeveralGrids
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from funnelfinder.defaults import Settings
    from funnelfinder.land_cover import CoverTable
    from funnelfinder.marks import Property


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command(
        "new", epilog='Example: funnelfinder new hollow.gpkg boundary.kml --name "Brome Hollow"'
    )(new)
    app.command(
        "grids",
        cls=SeveralGrids,
        epilog="Example: funnelfinder grids hollow.gpkg --elevation dem.tif --cover nlcd.tif",
    )(grids)
    app.command("marks", epilog="Example: funnelfinder marks hollow.gpkg beds.kml --kind bed")(
        marks
    )
    app.command(
        "settings", epilog="Example: funnelfinder settings hollow.gpkg wander=60yd pressure=heavy"
    )(settings)


def new(
    place_path: PropertyPath,
    boundary: Annotated[
        Path,
        typer.Argument(
            metavar="BOUNDARY", help="GeoPackage, GeoJSON, KML, GPX or shapefile, zipped or bare."
        ),
    ],
    *,
    name: Annotated[
        str, typer.Option(metavar="NAME", help="What you call it; else the file's own name.")
    ] = "",
) -> None:
    """Make a property from its boundary."""
    from funnelfinder.files.outlines_in import read_boundary
    from funnelfinder.files.property_file import create
    from funnelfinder.marks import Property
    from funnelfinder.units import said_area

    outline = read_boundary(boundary)
    tell_notes(outline.notes)
    title = name or _given_name(outline.name, boundary) or _titled(place_path.stem)
    place = Property(name=title, epsg=outline.epsg, boundary=outline.outline)
    create(place_path, place)
    tell(
        f"{place.name}: {said_area(place.boundary.area)}, {said_zone(place.epsg)}, kept in"
        f" {place_path}. The boundary is your own line, not a survey."
    )
    tell(f"Next: funnelfinder grids {place_path} --elevation FILE --cover FILE")
    tell(f"or, where you have none: funnelfinder bring {place_path}")


def _given_name(name: str, boundary: Path) -> str:
    """Return the name that a boundary brings, empty where it is only that of its file."""
    return "" if name.lower() in (boundary.stem.lower(), "boundary") else name


def _titled(stem: str) -> str:
    """Return a file's name as a title.

    Examples
    --------
    >>> _titled("fern_bottom-north")
    'Fern Bottom North'
    """
    return stem.replace("-", " ").replace("_", " ").title()


def said_zone(epsg: int) -> str:
    """Return a UTM zone as people write it.

    Examples
    --------
    >>> said_zone(32617)
    'UTM zone 17N'
    """
    return f"UTM zone {epsg % 100}{'N' if epsg < 32700 else 'S'}"


def grids(
    place_path: PropertyPath,
    *,
    elevation: Annotated[
        list[Path], typer.Option(metavar="FILE...", help="Elevation grids; several are joined.")
    ],
    cover: Annotated[
        list[Path], typer.Option(metavar="FILE...", help="Land-cover grids; several are joined.")
    ],
    legend: Annotated[
        str,
        typer.Option(
            metavar="nlcd|worldcover|TABLE",
            help="What the cover's codes mean; else recognized. TABLE is a CSV file.",
        ),
    ] = "",
    height_unit: Annotated[
        str, typer.Option(metavar="m|ft|us-ft", help="Unit of the heights; else read from them.")
    ] = "",
) -> None:
    """Read elevation and land cover around a property."""
    from funnelfinder.files.grids_in import read_grids
    from funnelfinder.files.property_file import load_place, save_brought
    from funnelfinder.units import said_length

    place = load_place(place_path)
    with telling_progress() as progress:
        read, table = read_grids(
            place,
            elevation=elevation,
            cover=cover,
            legend=_legend(legend),
            height_unit=height_unit or None,
            progress=progress,
        )
    is_new = bool(legend) or table.legend != place.cover_table.legend
    save_brought(place_path, epsg=place.epsg, grids=read, table=table if is_new else None)
    tell_notes(read.notes)
    tell(
        f"{place.name}: elevation every {said_length(read.elevation.source_cell_m)}, cover every"
        f" {said_length(read.cover.source_cell_m)} ({table.legend}), out to"
        f" {said_length(place.settings.ground.surround_m)} around."
    )
    tell(f"Next: funnelfinder marks {place_path} FILE")


def _legend(word: str) -> str | CoverTable | None:
    """Return a legend by its name or from a table of the person's own."""
    from funnelfinder.land_cover import LEGENDS

    if not word or word in LEGENDS:
        return word or None
    return _table_from(Path(word))


def _table_from(path: Path) -> CoverTable:
    """Return the cover table of a CSV file."""
    from funnelfinder.errors import SettingError
    from funnelfinder.land_cover import table_from_csv

    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise SettingError(
            "The cover table cannot be read.",
            where=str(path),
            remedy="Use nlcd, worldcover, or a CSV file with the columns code and resistance.",
        ) from error
    return table_from_csv(text, legend=path.stem, where=str(path))


def marks(
    place_path: PropertyPath,
    file: Annotated[
        Path, typer.Argument(metavar="FILE", help="Any vector file, GPS waypoints and tracks too.")
    ],
    *,
    kind: Annotated[
        str,
        typer.Option(
            metavar="KIND", help="What they are, where the file does not say: bed, food, fence..."
        ),
    ] = "",
    replace: Annotated[bool, typer.Option("--replace", help="Drop all marks first.")] = False,
) -> None:
    """Add marks; one of the same kind and name is replaced.

    A column "kind", the option, or the name of the layer or folder says what they are.
    """
    from dataclasses import replace as changed

    from funnelfinder.files.outlines_in import read_marks
    from funnelfinder.files.property_file import load_place, save_place
    from funnelfinder.marks import MarkKind

    place = load_place(place_path)
    read, notes = read_marks(file, epsg=place.epsg, kind=_kind(kind))
    before = changed(place, marks=()) if replace else place
    after = before.with_marks(read)
    save_place(place_path, after)
    tell_notes(notes)
    tell(f"{after.name}: {_counted(after)}.")
    if any(after.of_kind(MarkKind.BED)) and any(after.of_kind(MarkKind.FOOD)):
        tell(f"Next: funnelfinder run {place_path}")
    else:
        tell("Trips need at least one bed and one food.")


def _kind(word: str) -> str | None:
    """Return a kind of mark; wrong usage where there is none of that name."""
    from funnelfinder.marks import MarkKind

    kinds = [kind.value for kind in MarkKind]
    kind = word.strip().lower()
    if kind and kind not in kinds:
        raise typer.BadParameter(f"{word!r} is none of: {', '.join(kinds)}.", param_hint="--kind")
    return kind or None


def _counted(place: Property) -> str:
    """Return how many marks of each kind there are."""
    from collections import Counter

    counts = Counter(mark.kind.value for mark in place.marks)
    return ", ".join(f"{count} {kind}" for kind, count in counts.items()) or "no marks"


def settings(
    place_path: PropertyPath,
    changes: Annotated[
        list[str] | None, typer.Argument(metavar="NAME=VALUE", help="What to change.")
    ] = None,
    *,
    cover_table: Annotated[
        str,
        typer.Option(
            metavar="FILE", help="A CSV file of code and resistance; nlcd or worldcover resets."
        ),
    ] = "",
) -> None:
    """Print all settings with unit, range and source, or change some."""
    from dataclasses import replace

    from funnelfinder.cli.said_settings import settings_lines
    from funnelfinder.files.property_file import load_place, save_place

    place = load_place(place_path)
    if not changes and not cover_table:
        print("\n".join(settings_lines(place)))
        return
    after = replace(place, settings=_changed(place, changes or []))
    if cover_table:
        after = replace(after, cover_table=_new_table(place, cover_table))
    save_place(place_path, after)
    for line in _said_changes(place, after):
        tell(line)
    tell(f"Next: funnelfinder run {place_path}")


def _changed(place: Property, changes: list[str]) -> Settings:
    """Return the settings with the typed changes made."""
    from funnelfinder.defaults import with_setting

    settings_ = place.settings
    for change in changes:
        name, sign, value = change.partition("=")
        if not sign:
            raise typer.BadParameter(f"{change!r} is not written as NAME=VALUE.")
        settings_ = with_setting(settings_, name, value)
    return settings_


def _new_table(place: Property, word: str) -> CoverTable:
    """Return the cover table that a person gave, for the codes of the property's grids."""
    from dataclasses import replace

    from funnelfinder.land_cover import LEGENDS, shipped_table

    if word in LEGENDS:
        return shipped_table(word)
    return replace(_table_from(Path(word)), legend=place.cover_table.legend)


def _said_changes(before: Property, after: Property) -> list[str]:
    """Return what changed, old value and new."""
    from funnelfinder.defaults import entries, shown_value

    pairs = zip(entries(before.settings), entries(after.settings), strict=True)
    lines = [
        f"{new.name}: {shown_value(old.value, old.about)} -> {shown_value(new.value, new.about)}"
        for old, new in pairs
        if old.value != new.value
    ]
    if before.cover_table != after.cover_table:
        lines.append(f"cover table: {len(after.cover_table.classes)} classes")
    return lines or ["Nothing changed."]
