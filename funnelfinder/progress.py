"""How long work tells how far it is and learns that it should stop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from funnelfinder.errors import Stopped


class Progress(Protocol):
    """What long work calls now and then."""

    def step(self, share: float, words: str) -> None:
        """Tell that ``share`` (0 to 1) is done, in ``words``; raise `Stopped` to end the work."""


class Quiet:
    """Progress that nobody watches."""

    def step(self, share: float, words: str) -> None:
        """Do nothing."""


class Told:
    """Progress passed on to a function, ended by another.

    Parameters
    ----------
    tell : callable
        Called with (share, words).
    is_stopped : callable
        Asked at each step; true raises `Stopped`.
    """

    def __init__(
        self, tell: Callable[[float, str], None], is_stopped: Callable[[], bool] = lambda: False
    ) -> None:
        self._tell = tell
        self._is_stopped = is_stopped

    def step(self, share: float, words: str) -> None:
        """Pass the step on, or raise `Stopped`."""
        if self._is_stopped():
            raise Stopped("Stopped.", remedy="Everything is as it was before.")
        self._tell(share, words)


class Part:
    """The stretch of a longer progress that one piece of work fills.

    Examples
    --------
    >>> seen = []
    >>> Part(Told(lambda share, words: seen.append(share)), 0.5, 1.0).step(0.5, "half of it")
    >>> seen
    [0.75]
    """

    def __init__(self, whole: Progress, start: float, end: float) -> None:
        self._whole = whole
        self._start = start
        self._end = end

    def step(self, share: float, words: str) -> None:
        """Pass the step on, scaled into the stretch."""
        self._whole.step(self._start + share * (self._end - self._start), words)


QUIET = Quiet()
