"""A file of the person's own choosing, written whole or not at all."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from funnelfinder.errors import ExportError


def write_whole(path: Path, content: bytes) -> None:
    """Write beside the file, then rename, so that a file of that name is whole at any moment.

    Parameters
    ----------
    path : Path
        Where to; a file of that name is replaced.
    content : bytes
        All of it.

    Raises
    ------
    ExportError
        If the file cannot be written; one that stood there stays as it was.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        beside.write_bytes(content)
        beside.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise ExportError(
            f"It could not be written: {error.strerror or error}.",
            where=str(path),
            remedy="Choose a folder that exists and that you may write to.",
        ) from error
