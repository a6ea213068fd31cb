"""Where property files go: the person is never asked to save."""

from __future__ import annotations

import os
import re
from pathlib import Path

import platformdirs


def properties_folder() -> Path:
    """Return the folder of new property files, made if needed."""
    folder = Path(platformdirs.user_documents_dir()) / "Funnelfinder"
    folder.mkdir(parents=True, exist_ok=True)
    return folder


def file_stem(name: str) -> str:
    """Return a file name without blanks for the name of a property.

    Examples
    --------
    >>> file_stem("Brome Hollow, east")
    'brome-hollow-east'
    """
    return re.sub(r"[^\w]+", "-", name.strip().lower()).strip("-") or "property"


def unused_path(folder: Path, name: str) -> Path:
    """Return a path in a folder that no file has; files of that name stay as they are."""
    stem = file_stem(name)
    path = folder / f"{stem}.gpkg"
    number = 2
    while path.exists():
        path = folder / f"{stem}-{number}.gpkg"
        number += 1
    return path


def folder_for(source: Path) -> Path:
    """Return where a property made from a file goes: beside it, or with the others."""
    return source.parent if os.access(source.parent, os.W_OK) else properties_folder()
