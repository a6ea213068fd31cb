"""Tasks that the worker process runs in tests."""

from __future__ import annotations

import threading
from typing import Any

import numpy as np

from funnelfinder.errors import GridError


def double(shelf: dict[str, Any], progress: Any, field: np.ndarray) -> np.ndarray:
    """Return twice a field, and count the calls on the shelf."""
    progress.step(0.5, "half of it")
    shelf["calls"] = shelf.get("calls", 0) + 1
    return field * 2


def calls(shelf: dict[str, Any], progress: Any) -> int:
    """Return how often `double` ran."""
    return int(shelf.get("calls", 0))


def until_stopped(shelf: dict[str, Any], progress: Any) -> None:
    """Go on until it is stopped."""
    pause = threading.Event()
    while True:
        progress.step(0.1, "still at it")
        pause.wait(0.01)


def deaf(shelf: dict[str, Any], progress: Any) -> None:
    """Hear no stop, as inside one long call of a library."""
    progress.step(0.1, "deaf")
    threading.Event().wait(60)


def refuse(shelf: dict[str, Any], progress: Any) -> None:
    """Fail in a way that a person can mend."""
    raise GridError("It stops halfway.", where="north.tif", remedy="Copy it again.")


def break_down(shelf: dict[str, Any], progress: Any) -> None:
    """Fail in a way that nobody foresaw."""
    raise ZeroDivisionError("nobody foresaw this")
