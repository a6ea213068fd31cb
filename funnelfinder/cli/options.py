"""Options that several commands share, and what typer needs to know of them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand


def property_path(path: Path) -> Path:
    """Return the path of a property; wrong usage where it does not end in .gpkg."""
    if path.suffix.lower() != ".gpkg":
        raise typer.BadParameter(f"{path} does not end in .gpkg.")
    return path


PropertyPath = Annotated[
    Path,
    typer.Argument(metavar="PROPERTY", callback=property_path, help="A file ending in .gpkg."),
]


class SeveralValues(TyperCommand):
    """A command whose options take several values: ``--cover a.tif b.tif``."""

    several: tuple[str, ...] = ()

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Repeat the option before each of its values, then parse as usual."""
        return super().parse_args(ctx, repeated(args, self.several))


class SeveralGrids(SeveralValues):
    """Grids come as several tiles."""

    several = ("--elevation", "--cover")


class SeveralFormats(SeveralValues):
    """Points are written in several formats."""

    several = ("--formats",)


def repeated(args: Sequence[str], several: Sequence[str]) -> list[str]:
    """Return arguments with the options that take several values repeated.

    Values are taken from where the option stands to the next option, once the first argument of
    the command has been seen.

    Examples
    --------
    >>> repeated(["a.gpkg", "--cover", "1.tif", "2.tif", "--legend", "nlcd"], ["--cover"])
    ['a.gpkg', '--cover', '1.tif', '--cover', '2.tif', '--legend', 'nlcd']
    >>> repeated(["--cover", "1.tif", "a.gpkg"], ["--cover"])
    ['--cover', '1.tif', 'a.gpkg']
    """
    if not args or args[0].startswith("-"):
        return list(args)
    made: list[str] = []
    option, count = "", 0
    for word in args:
        if word.startswith("-"):
            option, count = (word, 0) if word in several else ("", 0)
        elif option:
            count += 1
            if count > 1:
                made.append(option)
        made.append(word)
    return made
