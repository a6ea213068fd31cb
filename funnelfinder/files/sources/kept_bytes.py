"""Bytes that came from servers, kept for the next time, each piece with its fingerprint.

What is kept is never trusted blindly: a piece that does not match its fingerprint is asked for
again. So a reading that was stopped goes on where it ended, and a second property next door
needs only what is new.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import shutil
import time
from pathlib import Path
from typing import Final

import platformdirs

from funnelfinder.files.sources.wire import MOST_BYTES, Wire

#: Pieces of files are kept in blocks of this size.
BLOCK: Final = 65_536
#: What was not used for so long is removed (judgement; the public grids change by the year).
_MOST_AGE_S: Final = 90 * 86_400.0
_DIGEST: Final = 32
_ABOUT: Final = "about.json"


def cache_folder() -> Path:
    """Return where this user's bytes are kept."""
    return Path(platformdirs.user_cache_dir("funnelfinder", appauthor=False)) / "sources"


class KeptBytes:
    """The kept blocks of one address.

    Parameters
    ----------
    folder : Path
        Of all addresses.
    address : str
        Whose bytes they are.
    """

    def __init__(self, folder: Path, address: str) -> None:
        self._folder = folder / hashlib.sha256(address.encode()).hexdigest()[:32]
        self._address = address

    def about(self) -> tuple[int, str] | None:
        """Return the size and version of the file whose blocks are kept; None if none are."""
        try:
            told = json.loads((self._folder / _ABOUT).read_text(encoding="utf-8"))
            if told["address"] == self._address:
                return int(told["total"]), str(told["tag"])
        except (OSError, ValueError, KeyError, TypeError):
            return None
        return None

    def begin(self, total: int, tag: str) -> None:
        """Say whose blocks follow; those of another version are dropped."""
        if self.about() != (total, tag):
            self.drop()
            told = {"address": self._address, "total": total, "tag": tag}
            self._write(_ABOUT, json.dumps(told).encode())

    def block(self, number: int) -> bytes | None:
        """Return a block, None if it is not kept or not as it was written."""
        try:
            content = (self._folder / str(number)).read_bytes()
        except OSError:
            return None
        data = content[_DIGEST:]
        return data if _digest(self._address, number, data) == content[:_DIGEST] else None

    def keep(self, number: int, data: bytes) -> None:
        """Keep a block; a disk that does not take it is no reason to stop."""
        self._write(str(number), _digest(self._address, number, data) + data)

    def drop(self) -> None:
        """Forget all blocks."""
        shutil.rmtree(self._folder, ignore_errors=True)

    def _write(self, name: str, content: bytes) -> None:
        """Write beside, then rename."""
        beside = self._folder / f".{name}.part"
        with contextlib.suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            beside.write_bytes(content)
            beside.replace(self._folder / name)


def _digest(address: str, number: int, data: bytes) -> bytes:
    """Return the fingerprint of a block."""
    return hashlib.sha256(f"{address} {number} ".encode() + data).digest()


def whole(wire: Wire, folder: Path, address: str, *, most_bytes: int = MOST_BYTES) -> bytes:
    """Return all that an address gives, from what is kept where it is.

    Raises
    ------
    WireError
        If it is not kept and cannot be had.
    """
    kept = KeptBytes(folder, address)
    about, data = kept.about(), kept.block(0)
    if about is not None and data is not None and len(data) == about[0]:
        return data
    reply = wire.get(address, most_bytes=most_bytes)
    kept.begin(reply.total, reply.tag)
    kept.keep(0, reply.data)
    return reply.data


def tidy(folder: Path, now_s: float | None = None) -> None:
    """Remove what was not written to for long."""
    now = time.time() if now_s is None else now_s
    with contextlib.suppress(OSError):
        for one in folder.iterdir():
            if one.is_dir() and now - one.stat().st_mtime > _MOST_AGE_S:
                shutil.rmtree(one, ignore_errors=True)


def kept_size(folder: Path) -> int:
    """Return how much is kept [bytes]."""
    with contextlib.suppress(OSError):
        return sum(one.stat().st_size for one in folder.rglob("*") if one.is_file())
    return 0


def empty(folder: Path) -> None:
    """Throw away all that is kept; properties keep their own grids and need none of it."""
    shutil.rmtree(folder, ignore_errors=True)
