"""Tasks of a worker process that bring things in from elsewhere, and suggest from what is there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from funnelfinder.errors import SourceError
from funnelfinder.marks import Property
from funnelfinder.progress import Progress

from .process import Shelf


def bring(shelf: Shelf, progress: Progress, place: Property, wish: Any, has: Any) -> Any:
    """Return what is wished for a property; the person said yes to it before.

    ``wish`` is the kinds and the sources to ask, ``has`` the grids that the property has.
    """
    from funnelfinder.files.sources import bring_in, yes

    kinds, sources = wish
    try:
        return bring_in(place, kinds=kinds, sources=sources, ask=yes, has=has, progress=progress)
    except SourceError as error:
        # Errors travel by their names, and only those of the core have one there.
        raise SourceError(error.what, where=error.where, remedy=error.remedy) from error


def suggest(shelf: Shelf, progress: Progress, place: Property, path: Path) -> Any:
    """Return likely food and beds on the grids that lie on the shelf."""
    from funnelfinder.files.property_file import load_crops
    from funnelfinder.suggestions import suggestions

    return suggestions(place, shelf["grids"], load_crops(path))
