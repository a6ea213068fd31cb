"""Work in a thread: progress, stop, and the result or error come back as signals.

The threads live as long as the program. Threads that come and go (those of Qt's own pool count
as such for Python) take their PROJ context with them, and what was made in it crashes later.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Final

from PyQt5.QtCore import QObject, pyqtSignal

from funnelfinder.errors import Stopped
from funnelfinder.progress import Progress, Told

Work = Callable[[Progress], Any]


class JobSignals(QObject):
    """What a job tells; received in the thread of the window."""

    progress = pyqtSignal(float, str)
    done = pyqtSignal(object)
    failed = pyqtSignal(object)
    stopped = pyqtSignal()
    ended = pyqtSignal()


class Job:
    """One piece of work in a thread.

    Parameters
    ----------
    work : callable
        Called with a `Progress`; what it returns comes back by ``signals.done``, what it raises
        by ``signals.failed`` (`Stopped` by ``signals.stopped``).
    """

    def __init__(self, work: Work) -> None:
        self.signals = JobSignals()
        self._work = work
        self._wish = threading.Event()

    def stop(self) -> None:
        """Ask the work to end at its next step."""
        self._wish.set()

    def run(self) -> None:
        """Do the work; called in a thread."""
        try:
            result = self._work(Told(self.signals.progress.emit, self._wish.is_set))
        except Stopped:
            self.signals.stopped.emit()
        except Exception as error:
            self.signals.failed.emit(error)
        else:
            self.signals.done.emit(result)
        self.signals.ended.emit()


_running: set[Job] = set()
_THREADS: Final = ThreadPoolExecutor(max_workers=2, thread_name_prefix="work")


def end_jobs() -> None:
    """Stop what runs and wait for it; to be called before Qt goes."""
    for job in tuple(_running):
        job.stop()
    _THREADS.shutdown(wait=True, cancel_futures=True)


def start_job(
    work: Work,
    *,
    done: Callable[[Any], None],
    failed: Callable[[Exception], None],
    progress: Callable[[float, str], None] | None = None,
    stopped: Callable[[], None] | None = None,
) -> Job:
    """Run work in a thread and return its job; the callables run in the window's thread.

    They must be bound methods of a QObject that lives in that thread, or Qt would call them in
    the worker's.
    """
    job = Job(work)
    _running.add(job)
    job.signals.done.connect(done)
    job.signals.failed.connect(failed)
    if progress is not None:
        job.signals.progress.connect(progress)
    if stopped is not None:
        job.signals.stopped.connect(stopped)
    job.signals.ended.connect(lambda: _running.discard(job))
    _THREADS.submit(job.run)
    return job
