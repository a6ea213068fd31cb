"""One writer at a time: who may write a property file, among programs and within this one.

A hidden file beside the property is locked by the system and names its holder. The system gives
the lock up when its holder dies, however it dies, so nothing stale stays in the way.
"""

from __future__ import annotations

import errno
import fcntl
import json
import os
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType
from typing import Final

from funnelfinder.errors import PropertyFileError
from funnelfinder.files.property_file.opening import told

#: How long to try for the lock: a look at it by another program takes it for an instant [s].
_TRY_S: Final = 0.25
_PAUSE_S: Final = 0.01


@dataclass(slots=True, kw_only=True)
class Access:
    """What this program has in hand of one property file.

    ``edit`` guards the file on disk for moments, ``replace`` the making of a new one for longer;
    ``n_edits`` tells the maker that the file changed meanwhile.
    """

    edit: threading.RLock = field(default_factory=threading.RLock)
    replace: threading.RLock = field(default_factory=threading.RLock)
    n_edits: int = 0
    n_users: int = 0
    is_held: bool = False
    lock_fd: int = -1


_guard = threading.RLock()
_in_hand: dict[Path, Access] = {}


def _forget() -> None:
    """Forget in a forked child what its parent holds: the system gave it no lock."""
    global _guard  # noqa: PLW0603 - another thread may have had it at the fork
    _guard = threading.RLock()
    _in_hand.clear()


os.register_at_fork(after_in_child=_forget)


class Hold:
    """A property file held for writing until `release`; also a context."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._is_mine = True
        self._process = os.getpid()

    def release(self) -> None:
        """Let others write; a second call does nothing."""
        with _guard:
            if self._is_mine and self._process == os.getpid():
                self._is_mine = False
                _in_hand[self.path].is_held = False
                _leave(self.path)

    def __enter__(self) -> Hold:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.release()


def hold(path: Path | str) -> Hold:
    """Hold a property file, so that no other window or command writes it.

    Saving without a hold takes one for its duration. Reading needs none.

    Raises
    ------
    PropertyFileError
        If another window or command holds it, or its folder may not be written.
    """
    place = Path(path).resolve()
    with _guard:
        access = _join(place)
        if access.is_held:
            _leave(place)
            raise _taken(place, f"this program (process {os.getpid()})")
        access.is_held = True
    return Hold(place)


def is_held(path: Path | str) -> bool:
    """Return whether another program holds a property file now."""
    place = Path(path).resolve()
    with _guard:
        if place in _in_hand:
            return False
        try:
            fd = os.open(_lock_path(place), os.O_RDWR | os.O_CLOEXEC)
        except OSError:
            return False
        try:
            return not _is_locked_now(fd)
        finally:
            os.close(fd)


@contextmanager
def writing(path: Path) -> Iterator[Access]:
    """Join this program's hold of a property file, or hold it for the duration."""
    with _guard:
        access = _join(path)
    try:
        yield access
    finally:
        with _guard:
            _leave(path)


def _lock_path(path: Path) -> Path:
    """Return the hidden file that is locked for a property file."""
    return path.with_name(f".{path.name}.lock")


def _join(path: Path) -> Access:
    """Return this program's access, one user more; takes the system's lock for the first."""
    access = _in_hand.get(path)
    if access is None:
        access = Access(lock_fd=_locked_fd(path))
        _in_hand[path] = access
    access.n_users += 1
    return access


def _leave(path: Path) -> None:
    """Give an access up, one user less; gives the system's lock back after the last."""
    access = _in_hand[path]
    access.n_users -= 1
    if access.n_users == 0:
        del _in_hand[path]
        # While it is still locked: whoever waits for it sees that it is gone, and tries anew.
        with suppress(OSError):
            _lock_path(path).unlink()
        os.close(access.lock_fd)


def _locked_fd(path: Path) -> int:
    """Return the locked file that shows this program as the holder."""
    lock = _lock_path(path)
    end = time.monotonic() + _TRY_S
    while True:
        with told(path):
            fd = os.open(lock, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o644)
        is_ours = False
        try:
            with told(path):
                is_ours = _is_locked_now(fd) and _is_still_there(fd, lock)
                if is_ours:
                    _sign(fd)
                    return fd
                holder_words = _holder_words(fd)
        finally:
            if not is_ours:
                os.close(fd)
        if time.monotonic() > end:
            raise _taken(path, holder_words)
        time.sleep(_PAUSE_S)


def _sign(fd: int) -> None:
    """Write into the locked file who holds it."""
    os.truncate(fd, 0)
    holder = {"process": os.getpid(), "computer": socket.gethostname()}
    os.write(fd, json.dumps(holder).encode())


def _is_locked_now(fd: int) -> bool:
    """Return whether the system gave this program the lock."""
    try:
        fcntl.lockf(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EACCES, errno.EAGAIN):
            return False
        raise PropertyFileError(
            "Its folder cannot keep two programs apart.",
            remedy="Copy the property to a disk of this computer.",
        ) from error
    return True


def _is_still_there(fd: int, lock: Path) -> bool:
    """Return whether the locked file is the one that others find."""
    try:
        return os.fstat(fd).st_ino == lock.stat().st_ino
    except FileNotFoundError:
        return False


def _holder_words(fd: int) -> str:
    """Return who holds a locked file, as far as it says."""
    try:
        holder = json.loads(os.pread(fd, 1000, 0))
        return f"process {holder['process']} on {holder['computer']}"
    except (OSError, ValueError, KeyError, TypeError):
        return "another program"


def _taken(path: Path, holder: str) -> PropertyFileError:
    """Return the error that another has the property."""
    return PropertyFileError(
        f"It is open for changes elsewhere, by {holder}.",
        where=str(path),
        remedy="Close it there, then try again.",
    )
