"""The program and its verbs; what it does when something fails or a person stops it."""

from __future__ import annotations

import os
import sys
from typing import Annotated, Any, Final

import typer
from typer.core import TyperGroup

from funnelfinder import __version__
from funnelfinder.cli import (
    bringing,
    demo,
    handing_out,
    making,
    running,
    seasonal,
    sitting,
    standing,
    watching,
)
from funnelfinder.cli.telling import STOPPED, tell_error
from funnelfinder.errors import FunnelFinderError, Stopped

#: What shells report for a program that Ctrl-C ended (128 + SIGINT).
STOPPED_STATUS: Final = 130

_WALK: Final = """\b
From a boundary to a GPS:
  funnelfinder new hollow.gpkg boundary.kml
  funnelfinder grids hollow.gpkg --elevation dem.tif --cover nlcd.tif
  (or, without grids of your own: funnelfinder bring hollow.gpkg)
  funnelfinder marks hollow.gpkg marks.geojson
  funnelfinder run hollow.gpkg
  funnelfinder export hollow.gpkg gps/"""


class _Telling(TyperGroup):
    """Commands whose errors are told in plain words."""

    def invoke(self, ctx: Any) -> Any:
        """Run a command; a told error ends with status 1, Ctrl-C with 130."""
        try:
            return super().invoke(ctx)
        except (KeyboardInterrupt, Stopped):
            print(f"\n{STOPPED}", file=sys.stderr)
            raise typer.Exit(STOPPED_STATUS) from None
        except FunnelFinderError as error:
            tell_error(error)
            raise typer.Exit(1) from error
        except BrokenPipeError:
            # Whoever reads has had enough, as `head` does; keep Python from telling it at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            raise typer.Exit(0) from None


app = typer.Typer(
    name="funnelfinder",
    cls=_Telling,
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _say_version(is_wanted: bool) -> None:
    """Print the version and end."""
    if is_wanted:
        print(f"funnelfinder {__version__}")
        raise typer.Exit


@app.callback(epilog=_WALK)
def _program(
    *,
    version: Annotated[
        bool,
        typer.Option("--version", callback=_say_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    """Find where ground squeezes the travel of whitetails, and where scrapes catch it.

    PROPERTY is a file ending in .gpkg that holds all of one piece of ground.
    """


making.add_to(app)
bringing.add_to(app)
running.add_to(app)
handing_out.add_to(app)
sitting.add_to(app)
standing.add_to(app)
seasonal.add_to(app)
watching.add_to(app)
demo.add_to(app)


def main() -> None:
    """Start the command line."""
    try:
        app()
    except KeyboardInterrupt:
        print(f"\n{STOPPED}", file=sys.stderr)
        sys.exit(STOPPED_STATUS)
