"""Hashes that tell whether what made a result is still the same."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import numpy as np
from shapely.geometry.base import BaseGeometry


def fingerprint(*parts: Any) -> str:
    """Return a hash of values: numbers, words, arrays, geometries, dataclasses, and their nests.

    Equal values give equal hashes in every process; 32 hexadecimal digits.

    Examples
    --------
    >>> fingerprint(1, "a") == fingerprint(1, "a")
    True
    >>> fingerprint(np.zeros(2)) == fingerprint(np.zeros(3))
    False
    """
    digest = hashlib.blake2b(digest_size=16)
    for part in parts:
        _feed(digest, part)
    return digest.hexdigest()


def _feed(digest: Any, part: Any) -> None:
    """Feed one value into the hash, with its type, so that 1 and "1" differ."""
    digest.update(type(part).__name__.encode())
    if isinstance(part, np.ndarray):
        digest.update(f"{part.dtype.str}{part.shape}".encode())
        digest.update(np.ascontiguousarray(part).data)
    elif isinstance(part, BaseGeometry):
        digest.update(part.wkb)
    else:
        members = _members(part)
        if members is None:
            digest.update(repr(part.value if isinstance(part, Enum) else part).encode())
            return
        digest.update(str(len(members)).encode())
        for one in members:
            _feed(digest, one)


def _members(part: Any) -> list[Any] | None:
    """Return the parts of a nest in a fixed order, or None if it is no nest."""
    if is_dataclass(part) and not isinstance(part, type):
        return [value for one in fields(part) for value in (one.name, getattr(part, one.name))]
    if isinstance(part, Mapping):
        return [value for key in sorted(part, key=str) for value in (key, part[key])]
    if isinstance(part, (set, frozenset)):
        return sorted(part, key=str)
    return list(part) if isinstance(part, (list, tuple)) else None
