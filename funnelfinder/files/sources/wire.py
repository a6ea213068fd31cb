"""One careful way to ask a server for bytes.

Over https the connection itself proves what arrives. Over plain http nothing does, so everything
is asked for twice and must agree.
"""

from __future__ import annotations

import http.client
import re
import threading
import time
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass
from typing import IO, Any, Final
from urllib.error import HTTPError
from urllib.parse import urlsplit

from funnelfinder import __version__
from funnelfinder.files.sources.faults import Fault, WireError, said_text, wire_error

#: Most bytes that one answer may have, parts of files aside.
MOST_BYTES: Final = 200_000_000
_PIECE: Final = 65_536
_MOST_WAIT_S: Final = 60.0
_SPAN: Final = re.compile(r"^bytes (\d+)-(\d+)/(\d+)$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to wait and how often to try.

    ``timeout_s`` is for connecting and for each piece [s]; an answer that after ``grace_s``
    still comes slower than ``least_bytes_per_s`` is given up; between ``tries`` the pause
    doubles from ``first_pause_s`` on. Judgement.
    """

    timeout_s: float = 20.0
    grace_s: float = 30.0
    least_bytes_per_s: float = 1_000.0
    tries: int = 4
    first_pause_s: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What a server gave: ``total`` is the size of the whole file, ``tag`` names its version."""

    data: bytes
    total: int
    tag: str
    kind: str


def _nothing(n_bytes: int) -> None:
    """Watch nothing."""


class Wire:
    """Asks servers, patiently, and tells how many bytes came.

    Parameters
    ----------
    patience : Patience
        Waits and tries.
    watch : callable
        Told of the bytes of each piece as it comes, and of 0 while waiting; may raise `Stopped`.
    pause : callable, optional
        Waits for so many seconds.
    clock : callable
        Returns seconds that only grow.
    """

    def __init__(
        self,
        *,
        patience: Patience | None = None,
        watch: Callable[[int], None] = _nothing,
        pause: Callable[[float], None] | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.patience = patience or Patience()
        self.watch = watch
        self._pause = pause or self._wait
        self._clock = clock
        self._opener = urllib.request.build_opener(_Redirects)

    def get(
        self,
        address: str,
        *,
        span: tuple[int, int] | None = None,
        tag: str = "",
        most_bytes: int = MOST_BYTES,
    ) -> Reply:
        """Return what an address gives, or the bytes of ``span`` (first, last; both included).

        Parameters
        ----------
        address : str
            http or https.
        span : (first, last), optional
            Which bytes; the last may lie beyond the end.
        tag : str
            Version of the file that is wanted; another one is a fault.
        most_bytes : int
            Larger answers are a fault.

        Raises
        ------
        WireError
            If it cannot be had whole, after all tries.
        Stopped
            If ``watch`` says so.
        """
        twice = urlsplit(address).scheme == "http"
        for attempt in range(self.patience.tries):
            try:
                reply = self._once(address, span, tag, most_bytes)
                if twice:
                    _check_same(reply, self._once(address, span, tag, most_bytes), address)
            except WireError as error:
                if not error.is_passing or attempt + 1 == self.patience.tries:
                    raise
                grown = self.patience.first_pause_s * 2.0**attempt
                self._pause(min(max(grown, error.wait_s), _MOST_WAIT_S))
            else:
                return reply
        raise WireError(Fault.SLOW, where=said_where(address))

    def _once(self, address: str, span: tuple[int, int] | None, tag: str, most_bytes: int) -> Reply:
        """Return one answer, checked for being whole."""
        where = said_where(address)
        headers = {
            "User-Agent": f"funnelfinder/{__version__}",
            "Accept-Encoding": "identity",
        }
        if span is not None:
            headers["Range"] = f"bytes={span[0]}-{span[1]}"
        self.watch(0)
        try:
            request = urllib.request.Request(address, headers=headers)
            with self._opener.open(request, timeout=self.patience.timeout_s) as answer:
                _check_encoding(answer, where)
                if span is None:
                    return self._whole(answer, where, most_bytes)
                return self._part(answer, where, span, tag)
        except HTTPError as error:
            with error:
                raise wire_error(error, where) from error
        except (http.client.HTTPException, OSError, ValueError) as error:
            if isinstance(error, WireError):
                raise
            raise wire_error(error, where) from error

    def _whole(self, answer: Any, where: str, most_bytes: int) -> Reply:
        """Return a whole answer."""
        if answer.status != 200:
            raise WireError(Fault.WRONG_TYPE, where=where, more=f"answer {answer.status}")
        stated = answer.headers.get("Content-Length")
        if stated is not None and (not stated.isdigit() or int(stated) > most_bytes):
            raise WireError(Fault.TOO_LARGE, where=where, more=f"{stated} bytes")
        data = self._read(answer, where, most_bytes)
        if stated is not None and len(data) != int(stated):
            raise WireError(Fault.CUT, where=where)
        return _reply(answer, data, len(data))

    def _part(self, answer: Any, where: str, span: tuple[int, int], tag: str) -> Reply:
        """Return a part of a file, checked to be the part that was asked for."""
        if answer.status != 206:
            raise _no_part(answer, where)
        found = _SPAN.match(answer.headers.get("Content-Range") or "")
        if found is None:
            raise WireError(Fault.CUT, where=where)
        first, last, total = map(int, found.groups())
        if (first, last) != (span[0], min(span[1], total - 1)):
            raise WireError(Fault.CUT, where=where)
        data = self._read(answer, where, last - first + 1)
        if len(data) != last - first + 1:
            raise WireError(Fault.CUT, where=where)
        reply = _reply(answer, data, total)
        if tag and reply.tag != tag:
            raise WireError(Fault.CHANGED, where=where)
        return reply

    def _read(self, answer: Any, where: str, most_bytes: int) -> bytes:
        """Read an answer piece by piece to its end, as long as it comes fast enough."""
        pieces, n_bytes, start = [], 0, self._clock()
        while piece := answer.read(_PIECE):
            pieces.append(piece)
            n_bytes += len(piece)
            self.watch(len(piece))
            if n_bytes > most_bytes:
                raise WireError(Fault.TOO_LARGE, where=where)
            spent = self._clock() - start
            is_slow = n_bytes < spent * self.patience.least_bytes_per_s
            if spent > self.patience.grace_s and is_slow:
                raise WireError(Fault.SLOW, where=where)
        return b"".join(pieces)

    def _wait(self, seconds: float) -> None:
        """Wait, and look now and then whether the work was stopped."""
        end = self._clock() + seconds
        while (left := end - self._clock()) > 0:
            self.watch(0)
            threading.Event().wait(min(left, 0.2))


class _Redirects(urllib.request.HTTPRedirectHandler):
    """Follows to http and https only, never from https back to http."""

    max_redirections = 5

    def redirect_request(  # noqa: PLR0917 - the library calls it so
        self, req: Any, fp: IO[bytes], code: int, msg: str, headers: Any, newurl: str
    ) -> urllib.request.Request | None:
        """Return the request that follows, or refuse."""
        old, new = urlsplit(req.full_url), urlsplit(newurl)
        if new.scheme not in ("http", "https") or (old.scheme, new.scheme) == ("https", "http"):
            raise WireError(Fault.ASTRAY, where=said_where(req.full_url))
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _no_part(answer: Any, where: str) -> WireError:
    """Return what an answer means that is no part of a file: a page, or a server that has none."""
    if "html" in (answer.headers.get("Content-Type") or ""):
        return WireError(Fault.WRONG_TYPE, where=where, more=said_text(answer.read(2000)))
    return WireError(Fault.NO_PARTS, where=where)


def _check_same(reply: Reply, again: Reply, address: str) -> None:
    """Raise `WireError` if two answers to the same question differ."""
    if (again.data, again.total) != (reply.data, reply.total):
        raise WireError(Fault.GARBLED, where=said_where(address))


def _check_encoding(answer: Any, where: str) -> None:
    """Raise `WireError` for an answer that is packed although it was not asked to be."""
    if answer.headers.get("Content-Encoding", "identity") != "identity":
        raise WireError(Fault.WRONG_TYPE, where=where, more="packed")


def _reply(answer: Any, data: bytes, total: int) -> Reply:
    """Return an answer with what its head says."""
    tag = answer.headers.get("ETag") or answer.headers.get("Last-Modified") or ""
    kind = (answer.headers.get("Content-Type") or "").partition(";")[0].strip().lower()
    return Reply(data=data, total=total, tag=f"{tag} {total}", kind=kind)


def said_where(address: str) -> str:
    """Return an address as people read it: the file and its server, without what was asked.

    Examples
    --------
    >>> said_where("https://example.org/a/n41w084.tif?key=1")
    'n41w084.tif on example.org'
    """
    parts = urlsplit(address)
    name = parts.path.rstrip("/").rpartition("/")[2]
    return f"{name} on {parts.hostname}" if name else str(parts.hostname or address)
