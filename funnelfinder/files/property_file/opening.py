"""How a property file is opened, and the words for one that cannot be."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Final, TypeVar
from urllib.parse import quote

from rasterio.errors import RasterioError

from funnelfinder.errors import InputError, PropertyFileError
from funnelfinder.files.property_file.package import APPLICATION_ID

#: Version of what is kept and where; raised when an older program would lose or misread it.
FORMAT: Final = 1
#: How long another program may write before this one gives up [s].
_PATIENCE_S: Final = 2.0
_MOST_READS: Final = 5

_BUSY: Final = ("Another program is writing to it.", "Close that program, then try again.")
_DAMAGED: Final = (
    "It is damaged or cut short.",
    "Use a whole copy of it, or make the property anew.",
)
_NO_PACKAGE: Final = (
    "It is no property file.",
    "Give a .gpkg file that this program made; a boundary file makes a new property.",
)
_FULL: Final = ("The disk is full.", "Free some space and try again; the file is as it was.")
_READ_ONLY: Final = ("It may not be written.", "Allow writing to the file and its folder.")
_GONE: Final = ("It cannot be opened.", "Check that the file is there and may be read.")
_MISSING: Final = ("There is no such file.", "Check its name and folder.")
_FAILED: Final = ("The disk did not take or give it.", "Check the disk; the file is as it was.")

#: Primary result codes of SQLite (sqlite.org/rescode.html).
_SQLITE_WORDS: Final = {
    sqlite3.SQLITE_BUSY: _BUSY,
    sqlite3.SQLITE_LOCKED: _BUSY,
    sqlite3.SQLITE_READONLY: _READ_ONLY,
    sqlite3.SQLITE_IOERR: _FAILED,
    sqlite3.SQLITE_CORRUPT: _DAMAGED,
    sqlite3.SQLITE_FULL: _FULL,
    sqlite3.SQLITE_CANTOPEN: _GONE,
    sqlite3.SQLITE_NOTADB: _NO_PACKAGE,
}
_SYSTEM_WORDS: Final = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EFBIG: _FULL,
    errno.EACCES: _READ_ONLY,
    errno.EPERM: _READ_ONLY,
    errno.EROFS: _READ_ONLY,
    errno.ENOENT: _MISSING,
}

_T = TypeVar("_T")


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite, the system or the grid library raises into a `PropertyFileError`."""
    try:
        yield
    except PropertyFileError as error:
        if str(path) in error.where:
            raise
        where = f"{path}, {error.where}" if error.where else str(path)
        raise PropertyFileError(error.what, where=where, remedy=error.remedy) from error
    except InputError as error:
        words = f"What it holds cannot be used: {error}"
        raise PropertyFileError(words, where=str(path)) from error
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
        what, remedy = _SQLITE_WORDS.get(code, _DAMAGED)
        raise PropertyFileError(what, where=str(path), remedy=remedy) from error
    except OSError as error:
        what, remedy = _SYSTEM_WORDS.get(error.errno or 0, _FAILED)
        raise PropertyFileError(what, where=str(path), remedy=remedy) from error
    except RasterioError as error:
        what, remedy = _FAILED
        raise PropertyFileError(what, where=str(path), remedy=remedy) from error
    except OverflowError as error:
        raise PropertyFileError("A number is too large to be kept.", where=str(path)) from error


@contextmanager
def connected(path: Path) -> Iterator[sqlite3.Connection]:
    """Open a property file; what a killed program left half-written is rolled back first.

    Raises
    ------
    PropertyFileError
        If it is missing, damaged, locked, no property, or from a newer program.
    """
    with told(path):
        if not path.is_file():
            raise PropertyFileError(_MISSING[0], where=str(path), remedy=_MISSING[1])
        # Mode rw never makes a file, and opens one that may only be read for reading.
        address = f"file:{quote(str(path.resolve()))}?mode=rw"
        with closing(
            sqlite3.connect(address, uri=True, timeout=_PATIENCE_S, isolation_level=None)
        ) as db:
            _check(db, path)
            yield db


def _check(db: sqlite3.Connection, path: Path) -> None:
    """Raise `PropertyFileError` unless the file is a whole property that this program knows."""
    application_id = db.execute("PRAGMA application_id").fetchone()[0]
    columns = {row[1] for row in db.execute("PRAGMA table_info(property)")}
    if application_id != APPLICATION_ID or "format" not in columns:
        raise PropertyFileError(_NO_PACKAGE[0], where=str(path), remedy=_NO_PACKAGE[1])
    found = db.execute("SELECT format FROM property").fetchone()
    if found is None or not isinstance(found[0], int):
        raise PropertyFileError(_DAMAGED[0], where=str(path), remedy=_DAMAGED[1])
    if found[0] > FORMAT:
        raise PropertyFileError(
            f"It was made by a newer program (format {found[0]}, known are up to {FORMAT}).",
            where=str(path),
            remedy="Use that program, or a newer version of this one.",
        )


def says_property(path: Path) -> bool:
    """Return whether a file calls itself a property, or is too damaged to tell; newer ones do."""
    if not path.is_file():
        return False
    try:
        with closing(sqlite3.connect(f"file:{quote(str(path.resolve()))}?mode=ro", uri=True)) as db:
            return any(row[1] == "format" for row in db.execute("PRAGMA table_info(property)"))
    except sqlite3.Error as error:
        return getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_CORRUPT


def steadily(path: Path, read: Callable[[], _T]) -> _T:
    """Return what ``read`` returns, read again if the file was replaced meanwhile."""
    for _ in range(_MOST_READS):
        with told(path):
            before = _identity(path)
            try:
                found = read()
            except PropertyFileError:
                if _identity(path) == before:
                    raise
                continue
            if _identity(path) == before:
                return found
    raise PropertyFileError(_BUSY[0], where=str(path), remedy=_BUSY[1])


def _identity(path: Path) -> tuple[int, int, int]:
    """Return what changes when a file is replaced or written; nothing for a missing one."""
    if not path.exists():
        return 0, 0, 0
    stat = path.stat()
    return stat.st_ino, stat.st_size, stat.st_mtime_ns
