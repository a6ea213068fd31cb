"""Memory cards and other media that are plugged in, and whether they can be written."""

from __future__ import annotations

import os
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

#: Where systems show what is plugged in: each folder there, or in the person's own one.
ROOTS: Final = (Path("/media"), Path("/run/media"), Path("/Volumes"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One medium: what it is called, where it is, how much room it has [bytes]."""

    name: str
    path: Path
    free_bytes: int
    is_locked: bool


def plugged_in(roots: Sequence[Path] = ROOTS) -> tuple[Card, ...]:
    """Return the media that are plugged in, by name."""
    found = []
    for root in roots:
        for path in (
            *_folders(root),
            *(inner for one in _folders(root) for inner in _folders(one)),
        ):
            card = card_at(path)
            if card is not None:
                found.append(card)
    return tuple(sorted(found, key=lambda card: card.name.lower()))


def _folders(path: Path) -> list[Path]:
    """Return the folders in a folder, none where it cannot be read."""
    try:
        return [one for one in path.iterdir() if one.is_dir() and not one.is_symlink()]
    except OSError:
        return []


def card_at(path: Path) -> Card | None:
    """Return the medium that is mounted at a folder, None if there is none."""
    try:
        if not os.path.ismount(path):
            return None
        flags = os.statvfs(path).f_flag if hasattr(os, "statvfs") else 0
        read_only = bool(flags & getattr(os, "ST_RDONLY", 1))
        free = shutil.disk_usage(path).free
    except OSError:
        return None
    return Card(name=path.name, path=path, free_bytes=free, is_locked=read_only)


def said_bytes(n_bytes: float) -> str:
    """Return a size as people say it.

    Examples
    --------
    >>> said_bytes(11_300), said_bytes(7.1e9)
    ('11 KB', '7.1 GB')
    """
    for size, word, digits in ((1e9, "GB", 1), (1e6, "MB", 1), (1e3, "KB", 0)):
        if n_bytes >= size:
            return f"{n_bytes / size:.{digits}f} {word}"
    return "under 1 KB" if n_bytes else "0 KB"
