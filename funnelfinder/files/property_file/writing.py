"""The two ways to change a property file: in place in one transaction, or by a new file.

Both leave a whole file behind whenever the program is killed. Neither ever writes with the vector
library, which deletes a file that it cannot open.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Final

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.holding import Access, writing
from funnelfinder.files.property_file.opening import connected, told

_JOURNALS: Final = ("-journal", "-wal", "-shm")


@contextmanager
def in_place(path: Path) -> Iterator[sqlite3.Connection]:
    """Give a connection whose changes reach the disk together when the context ends, or not at all.

    Raises
    ------
    PropertyFileError
        If the file cannot be opened or written; it is as it was.
    """
    place = path.resolve()
    with told(place), writing(place) as access, access.edit, connected(place) as db:
        access.n_edits += 1
        # Also waits until the journal's end is on disk: what a person drew is kept for good.
        db.execute("PRAGMA synchronous = EXTRA")
        with transaction(db):
            yield db


@contextmanager
def transaction(db: sqlite3.Connection) -> Iterator[None]:
    """Do all or nothing."""
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            db.execute("ROLLBACK")
        raise


def replaced(path: Path, change: Callable[[Path], None]) -> None:
    """Change a copy of a property file, then put it in the file's place in one step.

    Edits in place may go on while the copy is changed; if there were any, the copy is made anew.

    Parameters
    ----------
    path : Path
        The property file.
    change : callable
        Called with the path of the copy; may be called twice.

    Raises
    ------
    PropertyFileError
        If the file cannot be read or a new one not be written; the file is as it was.
    """
    place = path.resolve()
    fresh = _fresh_path(place)
    with told(place), writing(place) as access, access.replace:
        try:
            before = _state(place, access)
            _change_copy(place, fresh, change)
            with access.edit:
                if _state(place, access) != before:
                    _change_copy(place, fresh, change)
                _settle(place)
                shutil.copymode(place, fresh)
                _put_in_place(fresh, place)
        finally:
            discard(fresh)


def made(path: Path, make: Callable[[Path], None]) -> None:
    """Make a new property file where there is none; it appears whole or not at all."""
    place = path.resolve()
    fresh = _fresh_path(place)
    with told(place), writing(place) as access, access.replace:
        try:
            discard(fresh)
            make(fresh)
            if os.path.lexists(place):
                raise PropertyFileError(
                    "There is a file of that name already.",
                    where=str(place),
                    remedy="Choose another name; nothing is ever overwritten.",
                )
            _put_in_place(fresh, place)
        finally:
            discard(fresh)


def quick(db: sqlite3.Connection) -> None:
    """Do not wait for the disk: the file is a copy that is put in place only when it is whole."""
    db.execute("PRAGMA synchronous = OFF")


def discard(path: Path) -> None:
    """Remove a file of our own making and its journals, where they are there."""
    for one in (path, *(Path(f"{path}{end}") for end in _JOURNALS)):
        one.unlink(missing_ok=True)


def _fresh_path(path: Path) -> Path:
    """Return where the new file is made: beside the old one, on the same disk."""
    return path.with_name(f".{path.stem}.tmp.gpkg")


def _state(path: Path, access: Access) -> tuple[int, int, int, int]:
    """Return what differs once anyone changed the file."""
    stat = path.stat()
    return access.n_edits, stat.st_ino, stat.st_size, stat.st_mtime_ns


def _change_copy(path: Path, fresh: Path, change: Callable[[Path], None]) -> None:
    """Copy a property file as it is between two changes, and change the copy."""
    discard(fresh)
    with connected(path) as old, closing(sqlite3.connect(fresh)) as new:
        quick(new)
        old.backup(new)
        new.execute("PRAGMA journal_mode = DELETE")
    change(fresh)


def _settle(path: Path) -> None:
    """Leave no journal beside a file: it would be played back into the one that follows."""
    with connected(path) as db:
        db.execute("PRAGMA journal_mode = DELETE")
        with transaction(db):
            pass


def _put_in_place(fresh: Path, path: Path) -> None:
    """Put a whole new file in the place of the old one, and see both through to the disk."""
    _sync(fresh)
    fresh.replace(path)
    _sync(path.parent)


def _sync(path: Path) -> None:
    """Wait until a file or folder is on disk."""
    fd = os.open(path, os.O_RDONLY)
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
