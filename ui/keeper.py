"""Writing changes at once, in a thread: nothing to save, nothing to lose.

What cannot be written is held, told, and tried again every few seconds.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Final

from PyQt5.QtCore import QObject, QTimer, pyqtSignal

from funnelfinder.errors import FunnelFinderError

_AGAIN_MS: Final = 4000


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
        self._is_open = True
        self._is_writing = False
        self._has_failed = False
        self._again = QTimer(self)
        self._again.setInterval(_AGAIN_MS)
        self._again.timeout.connect(self.try_again)
        self.failed.connect(lambda *_: self._again.start())
        self.kept.connect(self._again.stop)
        self._thread = threading.Thread(target=self._write_all, daemon=True)
        self._thread.start()

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
            self._has_failed = False
            self._turn.notify_all()

    def try_again(self) -> None:
        """Try what could not be written once more."""
        with self._turn:
            self._has_failed = False
            self._turn.notify_all()

    def finish(self, patience_s: float = 10.0) -> bool:
        """Wait until all is written; return whether it is."""
        with self._turn:
            self._has_failed = False
            self._turn.notify_all()
            self._turn.wait_for(
                lambda: self._has_failed or not (self._waiting or self._is_writing), patience_s
            )
            return not (self._waiting or self._is_writing)

    def forget(self) -> None:
        """Give up what waits."""
        with self._turn:
            self._waiting.clear()

    def close(self) -> None:
        """End the thread after what it writes now."""
        with self._turn:
            self._is_open = False
            self._turn.notify_all()
        self._thread.join(5.0)

    def _write_all(self) -> None:
        """Write what waits, one after the other; runs in a thread."""
        while True:
            with self._turn:
                self._turn.wait_for(
                    lambda: not self._is_open or (self._waiting and not self._has_failed)
                )
                if not self._is_open:
                    return
                sort, (write, deed) = next(iter(self._waiting.items()))
                del self._waiting[sort]
                self._is_writing = True
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
