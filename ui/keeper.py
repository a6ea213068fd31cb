"""Writing changes at once, in a thread: nothing to save, nothing to lose.

What cannot be written is held, told, and tried again every few seconds.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Final

from PyQt5.QtCore import QObject, QTimer, pyqtSignal

from funnelfinder.errors import FunnelFinderError

_AGAIN_MS: Final = 4000
#: One thread for the whole program: what it made in PROJ must not die with a property.
_WRITER: Final = ThreadPoolExecutor(max_workers=1, thread_name_prefix="keeper")


class Keeper(QObject):
    """Writes what it is given, the newest of each sort, in the order given.

    ``kept`` is told when nothing waits any more, ``failed`` (the error, and the deed that waits)
    when something could not be written.
    """

    kept = pyqtSignal()
    failed = pyqtSignal(object, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: dict[str, tuple[Callable[[], None], str]] = {}
        self._turn = threading.Condition()
        self._is_writing = False
        self._is_here = False
        self._has_failed = False
        self._again = QTimer(self)
        self._again.setInterval(_AGAIN_MS)
        self._again.timeout.connect(self.try_again)
        self.failed.connect(lambda *_: self._again.start())
        self.kept.connect(self._again.stop)

    @property
    def is_waiting(self) -> bool:
        """Whether something is not written yet."""
        with self._turn:
            return bool(self._waiting) or self._is_writing

    def keep(self, sort: str, write: Callable[[], None], deed: str) -> None:
        """Write something; an older one of the same sort that still waits is forgotten."""
        with self._turn:
            self._waiting.pop(sort, None)
            self._waiting[sort] = (write, deed)
            self._begin()

    def try_again(self) -> None:
        """Try what could not be written once more."""
        with self._turn:
            self._begin()

    def _begin(self) -> None:
        """Let the writing thread come, unless it is here; called with the turn held."""
        self._has_failed = False
        if self._waiting and not self._is_here:
            self._is_here = True
            _WRITER.submit(self._write_all)

    def finish(self, patience_s: float = 10.0) -> bool:
        """Wait until all is written; return whether it is."""
        with self._turn:
            self._begin()
            self._turn.wait_for(
                lambda: self._has_failed or not (self._waiting or self._is_writing), patience_s
            )
            return not (self._waiting or self._is_writing)

    def forget(self) -> None:
        """Give up what waits."""
        with self._turn:
            self._waiting.clear()

    def _write_all(self) -> None:
        """Write what waits, one after the other; runs in the writing thread."""
        while (taken := self._next()) is not None:
            sort, (write, deed) = taken
            error = _written(write)
            with self._turn:
                self._is_writing = False
                if error is not None:
                    # A newer one of the same sort holds all that this one would have written.
                    self._waiting = {sort: (write, deed), **self._waiting}
                    self._has_failed = True
                is_done = error is None and not self._waiting
                self._turn.notify_all()
            if error is not None:
                self._tell(self.failed.emit, error, deed)
            elif is_done:
                self._tell(self.kept.emit)

    def _next(self) -> tuple[str, tuple[Callable[[], None], str]] | None:
        """Take what is to be written next, or leave."""
        with self._turn:
            if not self._waiting or self._has_failed:
                self._is_here = False
                return None
            sort = next(iter(self._waiting))
            self._is_writing = True
            return sort, self._waiting.pop(sort)

    def _tell(self, tell: Callable[..., None], *words: object) -> None:
        """Tell the window's thread, unless the window is gone."""
        try:
            tell(*words)
        except RuntimeError:
            return


def _written(write: Callable[[], None]) -> Exception | None:
    """Write, and return what went wrong."""
    try:
        write()
    except (FunnelFinderError, OSError) as error:
        return error
    return None
