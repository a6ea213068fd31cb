"""The verb for decisions on stands: take, leave, put by hand, forget."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated

import typer

from funnelfinder.cli.options import PropertyPath
from funnelfinder.cli.running import loaded_findings
from funnelfinder.cli.said_sits import tell_cautions
from funnelfinder.cli.stands_on import stands_on
from funnelfinder.cli.telling import tell

if TYPE_CHECKING:
    from datetime import date

    from funnelfinder.cli.running import Found
    from funnelfinder.marks import Property, StandPick
    from funnelfinder.scrapes import Cluster
    from funnelfinder.stands import Stand, StandBase

_DEEDS = ("list", "take", "leave", "put", "forget")


def add_to(app: typer.Typer) -> None:
    """Add this verb to the program."""
    app.command("stand", epilog="Example: funnelfinder stand hollow.gpkg take S1B")(stand)


def stand(
    place_path: PropertyPath,
    what: Annotated[
        str, typer.Argument(metavar="WHAT", help="list, take, leave, put or forget.")
    ] = "list",
    which: Annotated[
        str,
        typer.Argument(
            metavar="WHICH", help="Name of a stand; to put one, where: LATITUDE,LONGITUDE."
        ),
    ] = "",
    *,
    name: Annotated[str, typer.Option(metavar="NAME", help="What you call it.")] = "",
    shot: Annotated[
        float | None,
        typer.Option(min=1, max=1000, metavar="YARDS", help="How far you shoot from it."),
    ] = None,
    note: Annotated[str, typer.Option(metavar="WORDS", help="What you wrote about it.")] = "",
) -> None:
    """Take or leave stands that were found, put one by hand, or list what you decided.

    A cluster whose stands you took or put has those and no other.
    """
    from dataclasses import replace

    from funnelfinder.files.property_file import save_place
    from funnelfinder.stands import judge_of, judge_stand, pick_by_hand
    from funnelfinder.units import YARD_M

    if what not in _DEEDS:
        raise typer.BadParameter(f"{what!r} is none of: {', '.join(_DEEDS)}.")
    at = _degrees(which) if what == "put" else None
    found = loaded_findings(place_path)
    place = found.place
    shot_m = None if shot is None else shot * YARD_M
    if what == "list":
        _tell_all(place)
    elif what == "forget":
        save_place(place_path, place.without_stand(_decided(place, which).key))
        tell(f"{which} is forgotten.")
    elif at is not None:
        base, _ = stands_on(found, _today())
        x_m, y_m = _on_map(at, place.epsg)
        judged = judge_stand(judge_of(base, found.findings.clusters), x_m, y_m, shot_m=shot_m)
        spot = _spot(found, judged.stand.cluster if judged else 0)
        pick = pick_by_hand(x_m, y_m, spot, name=name, shot_m=shot_m, note=note)
        save_place(place_path, place.with_stand(pick))
        tell(f"{name or 'A stand'} is put. {judged.words if judged else ''}")
        tell_cautions()
    else:
        pick = _pick(found, stands_on(found, _today()), which, is_taken=what == "take")
        if name:
            pick = replace(pick, name=name)
        save_place(place_path, place.with_stand(replace(pick, shot_m=shot_m, note=note)))
        tell(f"{which} is {'taken' if what == 'take' else 'left out'}.")


def _today() -> date:
    """Return today's date."""
    from datetime import datetime

    return datetime.now().astimezone().date()


def _degrees(text: str) -> tuple[float, float]:
    """Return latitude and longitude as typed."""
    numbers = re.fullmatch(r"\s*(-?\d+(?:\.\d+)?)\s*,\s*(-?\d+(?:\.\d+)?)\s*", text, re.ASCII)
    if numbers is None or abs(float(numbers[1])) > 90 or abs(float(numbers[2])) > 180:
        raise typer.BadParameter(f"{text!r} is not written like 38.8123,-82.2345.")
    return float(numbers[1]), float(numbers[2])


def _on_map(at: tuple[float, float], epsg: int) -> tuple[float, float]:
    """Return a latitude and longitude on the property's map [m]."""
    from pyproj import Transformer

    x_m, y_m = Transformer.from_crs(4326, epsg, always_xy=True).transform(at[1], at[0])
    return float(x_m), float(y_m)


def _spot(found: Found, number: int) -> Cluster:
    """Return a cluster by its number."""
    from funnelfinder.errors import InputError

    spot = next((one for one in found.findings.clusters if one.number == number), None)
    if spot is None:
        raise InputError("There is no cluster to hunt.", where=found.place.name)
    return spot


def _pick(
    found: Found, known: tuple[StandBase, tuple[Stand, ...]], which: str, *, is_taken: bool
) -> StandPick:
    """Return the decision on a stand in force, or on a tree that was found."""
    from funnelfinder.stands import find_stands, pick_of_stand

    base, in_force = known
    trees = (*in_force, *find_stands(base, found.findings.clusters))
    tree = next((one for one in trees if one.name == which), None)
    if tree is None:
        raise typer.BadParameter(
            f"There is no stand {which!r}; there are {', '.join(one.name for one in trees)}."
        )
    return pick_of_stand(tree, _spot(found, tree.cluster), is_taken=is_taken)


def _decided(place: Property, which: str) -> StandPick:
    """Return the decision on the stand of a name or a number in the list."""
    for number, pick in enumerate(place.stands, start=1):
        if which in (pick.name, str(number)):
            return pick
    raise typer.BadParameter(f"You decided nothing on a stand {which!r}; see: stand list.")


def _tell_all(place: Property) -> None:
    """Print what was decided."""
    from funnelfinder.units import said_length

    if not place.stands:
        tell("Nothing is decided: the best trees found are in force.")
    for number, pick in enumerate(place.stands, start=1):
        deed = "put by hand" if pick.is_by_hand else "taken" if pick.is_taken else "left out"
        shot = "" if pick.shot_m is None else f", shot {said_length(pick.shot_m)}"
        words = f"{number}. {pick.name or 'without a name'}: {deed}{shot}, at"
        tell(f"{words} {pick.x_m:.0f} E {pick.y_m:.0f} N. {pick.note}".rstrip())
