"""Work in a process of its own, for what holds the interpreter lock or outlives one call.

The process keeps a shelf: whatever a task puts there (the grids, a factorised cost surface) is
there for the next task. A task is a function of a module, called with the shelf, a `Progress`
and its arguments.
"""

from __future__ import annotations

import atexit
import multiprocessing as mp
import os
import queue
import signal
import threading
import traceback
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, Final, Protocol

from PyQt5.QtCore import QObject, QTimer, pyqtSignal

from funnelfinder import errors
from funnelfinder.errors import FunnelFinderError, Stopped
from funnelfinder.progress import Progress, Told

from .parcel import Parcel, packed, unpacked

Shelf = dict[str, Any]
Outbox = queue.SimpleQueue[Any]
#: How long the process may go on after a stop before it is ended and started anew.
PATIENCE_MS: Final = 1500


class Task(Protocol):
    """A function that runs in the process."""

    def __call__(self, shelf: Shelf, progress: Progress, *arguments: Any) -> Any:
        """Do the work and return what goes back."""


class BrokenWork(RuntimeError):  # noqa: N818 - it is told as what it is
    """Something in the program broke in the process; the words are its trace."""


def put(shelf: Shelf, progress: Progress, name: str, thing: Any) -> None:
    """Put something on the shelf for later tasks."""
    shelf[name] = thing


def _serve(pipe: Connection, wish: Any) -> None:
    """Do one task after the other until the pipe closes; runs in the process."""
    if hasattr(os, "setsid"):
        # A session of its own, so that what it starts (redraws) can be ended together with it.
        os.setsid()
    shelf: Shelf = {}
    while True:
        try:
            number, parcel = pipe.recv()
        except (EOFError, OSError):
            return
        _send(pipe, number, *_outcome(pipe, wish, number, parcel, shelf))


def _outcome(
    pipe: Connection, wish: Any, number: int, parcel: Parcel, shelf: Shelf
) -> tuple[str, Any]:
    """Return how a task ended: done, stopped, failed or broken, with what belongs to it."""
    progress = Told(
        lambda share, words: pipe.send((number, "progress", (share, words))),
        lambda: wish.value >= number,
    )
    try:
        task, arguments = unpacked(parcel)
        return "done", packed(task(shelf, progress, *arguments))
    except Stopped:
        return "stopped", None
    except FunnelFinderError as error:
        return "failed", (type(error).__name__, error.what, error.where, error.remedy)
    except Exception:
        return "broken", traceback.format_exc()


def _send(pipe: Connection, number: int, end: str, thing: Any) -> None:
    """Send how a task ended; nobody listens once the window is gone."""
    try:
        pipe.send((number, end, thing))
    except OSError:
        return


class Ticket(QObject):
    """One task that was asked for."""

    progress = pyqtSignal(float, str)
    done = pyqtSignal(object)
    failed = pyqtSignal(object)
    stopped = pyqtSignal()


class WorkerProcess(QObject):
    """Runs tasks in one process, one after the other; results come back as signals.

    `stop` asks the running task to end; where it does not within `PATIENCE_MS` (inside one long
    library call), the process is ended and a fresh one starts with the next task; its shelf is
    empty then, which ``emptied`` tells.
    """

    emptied = pyqtSignal()
    _heard = pyqtSignal(int, int, str, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._tickets: dict[int, Ticket] = {}
        self._count = 0
        self._life = 0
        self._process: Any = None
        self._pipe: Connection | None = None
        self._wish: Any = None
        self._outbox: Outbox = queue.SimpleQueue()
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.timeout.connect(self._end_process)
        self._heard.connect(self._hear)
        # Python waits for its children at the end, and this one waits for the pipe.
        atexit.register(self.close)

    @property
    def is_busy(self) -> bool:
        """Whether a task runs or waits."""
        return bool(self._tickets)

    @property
    def process_id(self) -> int | None:
        """The process's number, or None before the first task."""
        return self._process.pid if self._process is not None else None

    def ask(self, task: Callable[..., Any], *arguments: Any) -> Ticket:
        """Run a task and return its ticket, whose signals tell what becomes of it."""
        self._start()
        self._count += 1
        ticket = Ticket(self)
        self._tickets[self._count] = ticket
        self._outbox.put((self._count, task, arguments))
        return ticket

    def stop(self) -> None:
        """Ask the running task to end."""
        if self._tickets and self._wish is not None:
            self._wish.value = self._count
            self._patience.start(PATIENCE_MS)

    def close(self) -> None:
        """End the process; what runs is forgotten."""
        atexit.unregister(self.close)
        self._tickets.clear()
        self._end_process()

    def _start(self) -> None:
        """Start the process unless it lives."""
        if self._process is not None and self._process.is_alive():
            return
        context = mp.get_context("spawn")
        self._pipe, other = context.Pipe()
        # Tasks up to this number are to end, those not yet received too.
        self._wish = context.Value("q", 0)
        self._process = context.Process(target=_serve, args=(other, self._wish))
        self._process.start()
        other.close()
        self._life += 1
        self._outbox = queue.SimpleQueue()
        for work in (self._listen, self._send_all):
            threading.Thread(
                target=work, args=(self._pipe, self._life, self._outbox), daemon=True
            ).start()

    def _send_all(self, pipe: Connection, life: int, outbox: Outbox) -> None:
        """Pack and send what is asked for; runs in a thread, since large grids take a while."""
        while (asked := outbox.get()) is not None:
            number, task, arguments = asked
            try:
                pipe.send((number, packed((task, arguments))))
            except OSError:
                return

    def _listen(self, pipe: Connection, life: int, outbox: Outbox) -> None:
        """Pass on what the process says; runs in a thread."""
        while True:
            try:
                number, what, thing = pipe.recv()
                if what == "done":
                    thing = unpacked(thing)
            except (EOFError, OSError):
                outbox.put(None)
                self._tell(life, 0, "gone", None)
                return
            self._tell(life, number, what, thing)

    def _tell(self, life: int, number: int, what: str, thing: Any) -> None:
        """Tell the window's thread, unless the window is gone."""
        try:
            self._heard.emit(life, number, what, thing)
        except RuntimeError:
            return

    def _hear(self, life: int, number: int, what: str, thing: Any) -> None:
        """Tell the ticket what became of its task."""
        if life != self._life:
            return
        if what == "gone":
            self._lost()
            return
        ticket = self._tickets.get(number)
        if ticket is None:
            return
        if what == "progress":
            ticket.progress.emit(*thing)
            return
        del self._tickets[number]
        self._patience.stop()
        if what == "done":
            ticket.done.emit(thing)
        elif what == "stopped":
            ticket.stopped.emit()
        elif what == "failed":
            name, said, where, remedy = thing
            ticket.failed.emit(getattr(errors, name)(said, where=where, remedy=remedy))
        else:
            ticket.failed.emit(BrokenWork(thing))

    def _lost(self) -> None:
        """Tell all tickets that the process ended by itself."""
        tickets, self._tickets = self._tickets, {}
        self._process = None
        self.emptied.emit()
        for ticket in tickets.values():
            ticket.failed.emit(BrokenWork("The worker process ended."))

    def _end_process(self) -> None:
        """End the process; its tasks count as stopped."""
        tickets, self._tickets = self._tickets, {}
        self._life += 1
        self._outbox.put(None)
        if self._process is not None:
            _kill(self._process)
            if self._pipe is not None:
                self._pipe.close()
            self._process = self._pipe = None
            self._tell_emptied()
        for ticket in tickets.values():
            ticket.stopped.emit()

    def _tell_emptied(self) -> None:
        """Tell that the shelf is empty, unless Qt is gone already."""
        try:
            self.emptied.emit()
        except RuntimeError:
            return


def _kill(process: Any) -> None:
    """End a process and all that it started."""
    if process.pid is None:
        return
    try:
        if hasattr(os, "killpg") and os.getpgid(process.pid) == process.pid:
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    except ProcessLookupError:
        pass
    process.join(2.0)
