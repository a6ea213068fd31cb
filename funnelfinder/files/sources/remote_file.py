"""A file on a server that the grid library reads as if it lay here, a few blocks at a time."""

from __future__ import annotations

from types import TracebackType
from typing import Final

from funnelfinder.files.sources.faults import Fault, WireError
from funnelfinder.files.sources.kept_bytes import BLOCK, KeptBytes
from funnelfinder.files.sources.wire import Wire, said_where

#: Most blocks asked for at once.
_MOST_AT_ONCE: Final = 64


class RemoteFile:
    """A file read by ranges, each block at most once.

    The grid library cannot be told of an exception while it reads: it would go on with what it
    has. So the first one is held in ``error``, the file seems to end there, and whoever uses the
    grid library calls `check` before believing anything.
    """

    def __init__(self, wire: Wire, kept: KeptBytes, address: str) -> None:
        self.address = address
        self.error: BaseException | None = None
        self._wire = wire
        self._kept = kept
        self._at = 0
        self._held: dict[int, bytes] = {}
        about = kept.about()
        if about is None:
            self._total, self._tag = -1, ""
            self._fetch(0, 0)
        else:
            self._total, self._tag = about

    @property
    def total(self) -> int:
        """The size of the file [bytes]."""
        return self._total

    @property
    def tag(self) -> str:
        """The version of the file, as the server names it."""
        return self._tag

    def check(self) -> None:
        """Raise what went wrong while the grid library read."""
        if self.error is not None:
            raise self.error

    def read(self, size: int = -1) -> bytes:
        """Return the next bytes; none at the end and after an error."""
        if self.error is not None:
            return b""
        end = self._total if size < 0 else min(self._at + size, self._total)
        if end <= self._at:
            return b""
        try:
            data = self._bytes(self._at, end)
        except BaseException as error:
            self.error = error
            return b""
        self._at = end
        return data

    def seek(self, offset: int, whence: int = 0) -> int:
        """Go to a place; whence 0 from the start, 1 from here, 2 from the end."""
        self._at = max((0, self._at, self._total)[whence] + offset, 0)
        return self._at

    def tell(self) -> int:
        """Return the place of the next byte."""
        return self._at

    def close(self) -> None:
        """Hold on to what was read: the grid library opens and closes as it likes."""

    def __enter__(self) -> RemoteFile:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _bytes(self, start: int, end: int) -> bytes:
        """Return the bytes from start to before end."""
        first, last = start // BLOCK, (end - 1) // BLOCK
        missing = [number for number in range(first, last + 1) if not self._has(number)]
        for low, high in _runs(missing):
            self._fetch(low, high)
        whole = b"".join(self._held[number] for number in range(first, last + 1))
        return whole[start - first * BLOCK : end - first * BLOCK]

    def _has(self, number: int) -> bool:
        """Return whether a block is here; kept ones are taken from the disk."""
        if number not in self._held:
            data = self._kept.block(number)
            if data is None or len(data) != self._size(number):
                return False
            self._held[number] = data
        return True

    def _size(self, number: int) -> int:
        """Return how long a block must be."""
        return min(BLOCK, self._total - number * BLOCK)

    def _fetch(self, low: int, high: int) -> None:
        """Ask for blocks from low to high, and keep them."""
        span = (low * BLOCK, (high + 1) * BLOCK - 1)
        try:
            reply = self._wire.get(self.address, span=span, tag=self._tag)
        except WireError as error:
            if error.fault is Fault.CHANGED:
                self._kept.drop()
            raise
        if self._total < 0:
            self._total, self._tag = reply.total, reply.tag
            self._kept.begin(reply.total, reply.tag)
        for number in range(low, high + 1):
            start = (number - low) * BLOCK
            data = reply.data[start : start + BLOCK]
            if len(data) != self._size(number):
                raise WireError(Fault.CUT, where=said_where(self.address))
            self._held[number] = data
            self._kept.keep(number, data)


def _runs(numbers: list[int]) -> list[tuple[int, int]]:
    """Return first and last of each run of neighbours, none longer than is asked at once."""
    runs: list[tuple[int, int]] = []
    for number in numbers:
        if runs and runs[-1][1] + 1 == number and number - runs[-1][0] < _MOST_AT_ONCE:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs
