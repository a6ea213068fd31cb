"""The verbs that bring things in and suggest: bring, suggest."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from funnelfinder.files.sources import Bring, BroughtIn, Request
    from funnelfinder.land_cover import CoverTable


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("bring", epilog="Example: funnelfinder bring hollow.gpkg --picture")(bring)
    app.command("suggest", epilog="Example: funnelfinder suggest hollow.gpkg likely.geojson")(
        suggest
    )


def _say_kept(is_wanted: bool) -> None:
    """Say where bytes are kept and how many, and end."""
    if is_wanted:
        from funnelfinder.files.sources import cache_folder, kept_size, said_bytes

        folder = cache_folder()
        size = kept_size(folder)
        tell(f"Kept for the next time: {said_bytes(size) if size else 'nothing'}, in {folder}.")
        tell("Properties need none of it. To throw it away: funnelfinder bring --empty-kept")
        raise typer.Exit


def _empty_kept(is_wanted: bool) -> None:
    """Throw away the kept bytes, and end."""
    if is_wanted:
        from funnelfinder.files.sources import cache_folder, empty, kept_size, said_bytes

        folder = cache_folder()
        before = kept_size(folder)
        empty(folder)
        gone = before - kept_size(folder)
        tell(f"Thrown away: {said_bytes(gone) if gone else 'nothing'}. Properties are as before.")
        raise typer.Exit


def bring(
    place_path: PropertyPath,
    *,
    elevation: Annotated[
        bool, typer.Option("--elevation", help="Elevation. Without a word: this and land cover.")
    ] = False,
    cover: Annotated[bool, typer.Option("--cover", help="Land cover.")] = False,
    crops: Annotated[bool, typer.Option("--crops", help="What was planted, by field.")] = False,
    picture: Annotated[bool, typer.Option("--picture", help="Aerial picture.")] = False,
    own_picture: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="A picture of your own: GeoTIFF, GeoPackage or MBTiles. Asks nobody.",
        ),
    ] = None,
    source_table: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="A CSV file of sources of your own: name, kind, address."
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Ask them without asking me first.")] = False,
    kept: Annotated[
        bool,
        typer.Option(
            "--kept", callback=_say_kept, is_eager=True, help="Say what is kept and where."
        ),
    ] = False,
    empty_kept: Annotated[
        bool,
        typer.Option(
            "--empty-kept", callback=_empty_kept, is_eager=True, help="Throw away what is kept."
        ),
    ] = False,
) -> None:
    """Bring in grids for this boundary from public sources; elevation and cover by default.

    Only the box of the boundary and its surround is sent. It says first who is asked and about
    how many bytes come. What came is kept, and works without a network from then on. What came
    for this property is used for one next door as well.
    """
    from funnelfinder.files.property_file import load_place
    from funnelfinder.files.sources import Bring

    named = {
        Bring.ELEVATION: elevation,
        Bring.COVER: cover,
        Bring.CROPS: crops,
        Bring.PICTURE: picture,
    }
    kinds = [kind for kind, is_named in named.items() if is_named]
    if own_picture is not None and picture:
        raise typer.BadParameter("Give --picture or --own-picture: a property keeps one picture.")
    if own_picture is not None:
        _keep_own(place_path, own_picture)
    if kinds or own_picture is None:
        _bring(place_path, kinds or [Bring.ELEVATION, Bring.COVER], source_table, is_said=yes)
    name = load_place(place_path).name
    tell(f"{name}: all of it is kept in the property, with source, date and license.")
    tell(f"Next: funnelfinder marks {place_path} FILE, or funnelfinder suggest {place_path}")


def _keep_own(place_path: Path, file: Path) -> None:
    """Keep the window of a picture of the person's own in the property."""
    from funnelfinder.files.own_picture import keep_picture
    from funnelfinder.files.property_file import load_place

    place = load_place(place_path)
    keep_picture(place_path, place, file)
    tell(f"{place.name}: your picture {file.name} lies behind the map.")


def _bring(
    place_path: Path, kinds: list[Bring], source_table: Path | None, *, is_said: bool
) -> None:
    """Bring kinds in from the sources and keep them, all or nothing."""
    from funnelfinder.files.property_file import load, save_brought
    from funnelfinder.files.sources import bring_in, usual_sources, with_own

    kept = load(place_path)
    with telling_progress() as progress:
        brought = bring_in(
            kept.place,
            kinds=kinds,
            sources=with_own(source_table, usual_sources()) if source_table else usual_sources(),
            ask=lambda requests: _asked(requests, is_said=is_said),
            has=kept.grids,
            progress=progress,
        )
        before, table = kept.place.cover_table, brought.table
        if table is not None and table.legend == before.legend:
            table = None
        save_brought(
            place_path,
            epsg=kept.place.epsg,
            grids=brought.grids,
            table=table,
            crops=brought.crops,
            picture=brought.picture,
            origins=brought.origins,
        )
    tell_notes(brought.notes)
    if table is not None:
        tell_notes(_table_notes(before, table))
    tell(_said(kept.place.name, kinds, brought))


def _table_notes(before: CoverTable, after: CoverTable) -> Iterator[str]:
    """Yield that costs of the person's own gave way to those of the cover brought in."""
    from funnelfinder.land_cover import LEGENDS, shipped_table

    if before.legend not in LEGENDS or before != shipped_table(before.legend):
        yield (
            f"The costs of your own for {before.legend} gave way to those of {after.legend}, since"
            " the codes of the cover are others now. Look at them with the verb settings."
        )


def _asked(requests: tuple[Request, ...], *, is_said: bool) -> bool:
    """Tell what would be asked of whom, and return whether it may be."""
    import sys

    from funnelfinder.errors import SourceError

    for one in requests:
        tell(one.words)
    if is_said or not any(one.is_remote for one in requests):
        return True
    tell("Nothing else is sent but the box of your boundary and its surround.")
    if not sys.stdin.isatty():
        raise SourceError(
            "Nothing was asked of anybody: there is no one here to say yes.",
            remedy="Add --yes to say it beforehand.",
        )
    return typer.confirm("Ask them?", default=False)


def _said(name: str, kinds: list[Bring], brought: BroughtIn) -> str:
    """Return what came in one sentence."""
    from funnelfinder.units import said_length

    facts = []
    if brought.grids is not None:
        facts.append(f"elevation every {said_length(brought.grids.elevation.source_cell_m)}")
        facts.append(f"cover every {said_length(brought.grids.cover.source_cell_m)}")
    got = {"crops": brought.crops, "picture": brought.picture}
    facts += [kind.words for kind in kinds if got.get(kind.value) is not None]
    return f"{name}: {', '.join(facts)}."


def suggest(
    place_path: PropertyPath,
    file: Annotated[
        Path | None,
        typer.Argument(metavar="FILE", help="Where to write them, ending in .geojson."),
    ] = None,
) -> None:
    """Suggest likely food and beds to start from; nothing uses them until you add them as marks."""
    from funnelfinder.errors import GridError
    from funnelfinder.files.property_file import load, load_crops
    from funnelfinder.files.suggestions_out import write_suggestions
    from funnelfinder.suggestions import suggestions

    if file is not None and file.suffix.lower() != ".geojson":
        raise typer.BadParameter(f"{file} does not end in .geojson.")
    kept = load(place_path)
    if kept.grids is None:
        raise GridError(
            "The property has no grids.",
            where=str(place_path),
            remedy=f"Run: funnelfinder bring {place_path}",
        )
    found = suggestions(kept.place, kept.grids, load_crops(place_path))
    for one in found:
        tell(f"{one.kind.value.capitalize()}: {one.name}. {one.why}")
    if not found:
        tell("Nothing to suggest beyond what is marked.")
    elif file is not None:
        write_suggestions(file, found, epsg=kept.place.epsg)
        tell(f"{file}: {len(found)} outlines. Throw out what is wrong, then:")
        tell(f"Next: funnelfinder marks {place_path} {file}")
