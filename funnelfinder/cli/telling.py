"""How the command line tells a person what goes on: progress, notes, errors, all on stderr."""

from __future__ import annotations

import sys
import textwrap
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Final, TextIO

from funnelfinder.progress import Progress

STOPPED: Final = "Stopped. Everything is as it was before."
_COLUMNS_WIDE: Final = 88


class TerminalProgress:
    """Progress on one line of a terminal, or a line for each stage where nobody watches.

    Parameters
    ----------
    stream : text stream
        Where to write.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._is_live = stream.isatty()
        self._last = ""

    def step(self, share: float, words: str) -> None:
        """Tell the share and the words where they say something new."""
        line = f"{words}, {100 * share:.0f} %" if self._is_live else words.partition(":")[0]
        if line == self._last:
            return
        self._last = line
        self._stream.write(f"\r{line}\x1b[K" if self._is_live else f"{line}\n")
        self._stream.flush()

    def clear(self) -> None:
        """Take the line off the terminal."""
        if self._is_live and self._last:
            self._stream.write("\r\x1b[K")
            self._stream.flush()


@contextmanager
def telling_progress() -> Iterator[Progress]:
    """Give progress that is told on stderr and taken off at the end."""
    progress = TerminalProgress(sys.stderr)
    try:
        yield progress
    finally:
        progress.clear()


def tell(words: str) -> None:
    """Print words on stdout, wrapped."""
    print(textwrap.fill(words, _COLUMNS_WIDE, break_long_words=False, break_on_hyphens=False))


def tell_notes(notes: Iterable[str]) -> None:
    """Print facts short of failure on stderr."""
    for note in notes:
        print(f"Note: {note}", file=sys.stderr)


def tell_error(error: BaseException) -> None:
    """Print an error as one plain message on stderr."""
    print(str(error), file=sys.stderr)
