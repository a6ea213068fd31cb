"""Geometry as a GeoPackage keeps it: a short head, then well-known binary.

References
----------
.. [1] OGC 12-128r18, "GeoPackage Encoding Standard" 1.3.1, clause 2.1.3 (GeoPackageBinary).
"""

from __future__ import annotations

import struct
from typing import Final

import shapely
from shapely.geometry.base import BaseGeometry

_MAGIC: Final = b"GP"
_HEAD_BYTES: Final = 8
_LITTLE_ENDIAN, _EMPTY = 0b1, 0b10000
#: Bytes of the envelope by its code in the flags.
_ENVELOPE_BYTES: Final = (0, 32, 48, 48, 64)


def to_blob(shape: BaseGeometry, srs_id: int) -> bytes:
    """Return a geometry as a GeoPackage keeps it, in two dimensions.

    Examples
    --------
    >>> blob = to_blob(shapely.Point(1, 2), 32617)
    >>> blob[:2], from_blob(blob)
    (b'GP', <POINT (1 2)>)
    """
    flat = shapely.force_2d(shape)
    flags, envelope = _LITTLE_ENDIAN, b""
    if flat.is_empty:
        flags |= _EMPTY
    elif flat.geom_type != "Point":
        west, south, east, north = flat.bounds
        flags |= 1 << 1
        envelope = struct.pack("<4d", west, east, south, north)
    head = struct.pack("<2sBBi", _MAGIC, 0, flags, srs_id)
    wkb: bytes = shapely.to_wkb(flat, byte_order=1, flavor="iso")
    return head + envelope + wkb


def from_blob(blob: bytes) -> BaseGeometry:
    """Return the geometry of a blob that any writer of the standard made.

    Raises
    ------
    ValueError
        If it is no such blob.
    """
    if len(blob) < _HEAD_BYTES or blob[:2] != _MAGIC:
        raise ValueError("It is not a GeoPackage geometry.")
    code = blob[3] >> 1 & 0b111
    if code >= len(_ENVELOPE_BYTES):
        raise ValueError("Its envelope is of an unknown kind.")
    try:
        return shapely.from_wkb(blob[_HEAD_BYTES + _ENVELOPE_BYTES[code] :])
    except shapely.errors.ShapelyError as error:
        raise ValueError("Its well-known binary cannot be read.") from error
