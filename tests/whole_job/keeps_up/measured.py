"""How fast the window answers: what is measured, how, and the limits that a person would feel.

These tests measure time, so nothing else may run beside them: they carry the mark ``alone``, which
the parallel run leaves out and ``make test`` runs afterwards, one by one. A machine that is shared
can still hold a process up for a moment that has nothing to do with the program, so each is tried
up to `N_TRIES` times and the best counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import perf_counter

import numpy as np
from PyQt5.QtCore import QTimer

from ui.main_window import MainWindow

N_TRIES = 3
#: The longest the window may stand still [s].
STALL_S = 0.1
#: How soon a coarse passage follows a move of the hand, and the whole one the letting go [s].
COARSE_S, WHOLE_S = 0.1, 0.3
BEAT_MS = 2


class Heart:
    """Beats in the window's event loop; a stall is a pause between two beats."""

    def __init__(self, qtbot) -> None:
        self._qtbot = qtbot
        self._beats: list[float] = []
        self._timer = QTimer()
        self._timer.setInterval(BEAT_MS)
        self._timer.timeout.connect(lambda: self._beats.append(perf_counter()))

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Beat before what is measured begins and after it ended."""
        self._timer.start()
        self._beat_once()
        yield
        self._beat_once()
        self._timer.stop()

    def _beat_once(self) -> None:
        n = len(self._beats)
        self._qtbot.waitUntil(lambda: len(self._beats) > n, timeout=5_000)

    @property
    def longest_s(self) -> float:
        """The longest stall [s]."""
        return float(np.diff(self._beats).max())


def best_of(once: Callable[[int], dict[str, float]], limits: dict[str, float]) -> dict[str, float]:
    """Measure until all is within its limit, at most `N_TRIES` times; return the last."""
    measured: dict[str, float] = {}
    for number in range(N_TRIES):
        measured = once(number)
        if all(measured[name] < limit for name, limit in limits.items()):
            break
    return measured


def wait_idle(window: MainWindow, qtbot) -> None:
    """Wait until no work is under way anywhere."""
    qtbot.waitUntil(
        lambda: (
            window.desk.work is None
            and not window.runs.worker.is_busy
            and not window.ground_work.is_drawing
        ),
        timeout=60_000,
    )
