"""The verbs that bring things in and suggest: bring, suggest."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.telling import tell, tell_notes, telling_progress

if TYPE_CHECKING:
    from funnelfinder.files.sources import Bring, BroughtIn, Request


def add_to(app: typer.Typer) -> None:
    """Add these verbs to the program."""
    app.command("bring", epilog="Example: funnelfinder bring hollow.gpkg --picture")(bring)
    app.command("suggest", epilog="Example: funnelfinder suggest hollow.gpkg likely.geojson")(
        suggest
    )


def bring(
    place_path: PropertyPath,
    *,
    elevation: Annotated[bool, typer.Option("--elevation", help="Only what is named.")] = False,
    cover: Annotated[bool, typer.Option("--cover", help="Land cover.")] = False,
    crops: Annotated[bool, typer.Option("--crops", help="What was planted, by field.")] = False,
    picture: Annotated[bool, typer.Option("--picture", help="Aerial picture.")] = False,
    source_table: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE", help="A CSV file of sources of your own: name, kind, address."
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Ask without asking me first.")] = False,
) -> None:
    """Bring in grids for this boundary from public sources; elevation and cover by default.

    Only the box of the boundary and its surround is sent. It says first who is asked and about
    how many bytes come. What came is kept, and works without a network from then on.
    """
    from dataclasses import replace

    from funnelfinder.files.property_file import load, save_brought, save_place
    from funnelfinder.files.sources import Bring, bring_in, shipped_sources, with_own

    named = {
        Bring.ELEVATION: elevation,
        Bring.COVER: cover,
        Bring.CROPS: crops,
        Bring.PICTURE: picture,
    }
    kinds = [kind for kind, is_named in named.items() if is_named]
    kept = load(place_path)
    with telling_progress() as progress:
        brought = bring_in(
            kept.place,
            kinds=kinds or [Bring.ELEVATION, Bring.COVER],
            sources=with_own(source_table) if source_table else shipped_sources(),
            ask=lambda requests: _asked(requests, is_said=yes),
            has=kept.grids,
            progress=progress,
        )
        save_brought(
            place_path,
            epsg=kept.place.epsg,
            grids=brought.grids,
            crops=brought.crops,
            picture=brought.picture,
            origins=brought.origins,
        )
    if brought.table is not None and brought.table.legend != kept.place.cover_table.legend:
        save_place(place_path, replace(kept.place, cover_table=brought.table))
    tell_notes(brought.notes)
    tell(_said(kept.place.name, kinds or [Bring.ELEVATION, Bring.COVER], brought))
    tell(f"Next: funnelfinder marks {place_path} FILE, or funnelfinder suggest {place_path}")


def _asked(requests: tuple[Request, ...], *, is_said: bool) -> bool:
    """Tell what would be asked of whom, and return whether it may be."""
    for one in requests:
        tell(one.words)
    is_said = is_said or not any(one.is_remote for one in requests)
    return is_said or typer.confirm("Ask them?", default=False)


def _said(name: str, kinds: list[Bring], brought: BroughtIn) -> str:
    """Return what came in one sentence."""
    from funnelfinder.units import said_length

    facts = []
    if brought.grids is not None:
        facts.append(f"elevation every {said_length(brought.grids.elevation.source_cell_m)}")
        facts.append(f"cover every {said_length(brought.grids.cover.source_cell_m)}")
    facts += [kind.words for kind in kinds if kind.value in ("crops", "picture")]
    return f"{name}: {', '.join(facts)}; kept in the property, with source, date and license."


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
