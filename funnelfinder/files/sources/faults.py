"""What can go wrong between a source and here, in words that a person can act on."""

from __future__ import annotations

import socket
import ssl
from enum import Enum
from http.client import HTTPException
from typing import Final
from urllib.error import HTTPError, URLError

from funnelfinder.errors import SourceError


class Fault(Enum):
    """What went wrong; the value says it."""

    NO_NETWORK = "There is no network"
    NO_NAME = "The name of the server is not known"
    REFUSED = "The server refused the connection"
    UNSAFE = "The server could not prove who it is"
    ASTRAY = "The server sent us where we do not go"
    SLOW = "The server is too slow"
    BUSY = "The server is busy"
    CUT = "The connection broke off"
    CHANGED = "The file changed while it was read"
    GARBLED = "The bytes were changed on their way"
    NOT_THERE = "There is no such file, so nothing is covered there"
    FORBIDDEN = "The server does not hand it out"
    NO_PARTS = "The server does not give parts of a file"
    TOO_LARGE = "It is larger than what was asked for"
    WRONG_TYPE = "It is something else than what was asked for"
    DAMAGED = "It is damaged"


#: Faults that may be gone in a moment.
PASSING: Final = frozenset(
    {Fault.SLOW, Fault.BUSY, Fault.CUT, Fault.CHANGED, Fault.GARBLED, Fault.REFUSED}
)
_REMEDIES: Final = {
    Fault.NO_NETWORK: "Go online and bring it again, or open files that you have.",
    Fault.NO_NAME: "Check the network and the address in the table of sources.",
    Fault.REFUSED: "Try again later, or open files that you have.",
    Fault.UNSAFE: "Check the date of this computer and who runs the network.",
    Fault.SLOW: "Try again later; what has come is kept and not asked for again.",
    Fault.BUSY: "Try again later; what has come is kept and not asked for again.",
    Fault.CUT: "Try again; what has come is kept and not asked for again.",
    Fault.CHANGED: "Try again.",
    Fault.GARBLED: "Use another network; what came was not kept.",
    Fault.WRONG_TYPE: "Is there a page to sign in to the network? Else the source has changed.",
}
_OTHERWISE: Final = "Take another source, or open files that you have."

_STATUS: Final = {
    400: Fault.WRONG_TYPE,
    401: Fault.FORBIDDEN,
    403: Fault.NOT_THERE,
    404: Fault.NOT_THERE,
    407: Fault.FORBIDDEN,
    410: Fault.NOT_THERE,
    412: Fault.CHANGED,
    416: Fault.CHANGED,
    408: Fault.SLOW,
    425: Fault.BUSY,
    429: Fault.BUSY,
    451: Fault.FORBIDDEN,
    504: Fault.SLOW,
}


def said_text(data: bytes) -> str:
    """Return the beginning of what a server said instead, without its marks.

    Examples
    --------
    >>> said_text(b"<html><b>Please sign in.</b></html>")
    'it says: Please sign in.'
    """
    text = data[:2000].decode("utf-8", errors="replace")
    plain, is_mark = [], False
    for letter in text:
        is_mark = letter == "<" or (is_mark and letter != ">")
        if not is_mark and letter != ">":
            plain.append(letter if letter.isprintable() else " ")
    words = " ".join("".join(plain).split())
    return f"it says: {words[:100]}" if words else ""


class WireError(SourceError):
    """A fault on the way, with its kind.

    Parameters
    ----------
    fault : Fault
        What went wrong.
    where : str
        The file or server.
    more : str
        What the server itself said, in short.
    wait_s : float
        How long the server asks to wait [s]; 0 where it does not say.
    """

    def __init__(self, fault: Fault, *, where: str, more: str = "", wait_s: float = 0.0) -> None:
        self.fault = fault
        self.wait_s = wait_s
        what = f"{fault.value} ({more})." if more else f"{fault.value}."
        super().__init__(what, where=where, remedy=_REMEDIES.get(fault, _OTHERWISE))

    @property
    def is_passing(self) -> bool:
        """Whether it may be gone in a moment."""
        return self.fault in PASSING

    @property
    def is_offline(self) -> bool:
        """Whether every other question would meet it too."""
        return self.fault is Fault.NO_NETWORK

    @property
    def is_no_coverage(self) -> bool:
        """Whether it only says that the source has nothing at this place."""
        return self.fault is Fault.NOT_THERE


def wire_error(error: BaseException, where: str) -> WireError:
    """Return what a foreign exception of the network means."""
    if isinstance(error, HTTPError):
        return _status_error(error, where)
    reason = error.reason if isinstance(error, URLError) else error
    return WireError(_fault_of(reason), where=where)


def _status_error(error: HTTPError, where: str) -> WireError:
    """Return what an answer with an error status means."""
    rest = {3: Fault.ASTRAY, 5: Fault.BUSY}.get(error.code // 100, Fault.WRONG_TYPE)
    fault = _STATUS.get(error.code, rest)
    text = (error.headers.get("Retry-After") or "") if error.headers else ""
    wait_s = float(text) if text.isascii() and text.isdigit() else 0.0
    return WireError(fault, where=where, more=f"answer {error.code}", wait_s=wait_s)


def _fault_of(reason: object) -> Fault:
    """Return the fault that an exception stands for."""
    kinds: tuple[tuple[type[BaseException], Fault], ...] = (
        (TimeoutError, Fault.SLOW),
        (socket.gaierror, Fault.NO_NAME),
        (ssl.SSLCertVerificationError, Fault.UNSAFE),
        (ssl.SSLEOFError, Fault.CUT),
        (ssl.SSLZeroReturnError, Fault.CUT),
        (ssl.SSLError, Fault.UNSAFE),
        (ConnectionRefusedError, Fault.REFUSED),
        (ConnectionError, Fault.CUT),
        (HTTPException, Fault.CUT),
        (OSError, Fault.NO_NETWORK),
    )
    if isinstance(reason, socket.gaierror) and reason.errno == socket.EAI_AGAIN:
        return Fault.NO_NETWORK
    if isinstance(reason, ssl.SSLError) and "bad record mac" in str(reason):
        return Fault.GARBLED
    return next((fault for kind, fault in kinds if isinstance(reason, kind)), Fault.CUT)
