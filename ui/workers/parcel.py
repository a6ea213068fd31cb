"""Objects with large arrays, sent between processes through shared memory.

Everything but the arrays is pickled; the arrays lie side by side in one block of shared memory,
so that a field of a few hundred megabytes is copied once on each side and never pickled.
"""

from __future__ import annotations

import pickle
from multiprocessing import resource_tracker, shared_memory
from typing import Any, NamedTuple

import numpy as np

_LINE = 64


class Parcel(NamedTuple):
    """What goes through the pipe: the pickle, the name of the block, and the arrays' sizes."""

    body: bytes
    block: str
    sizes: tuple[int, ...]


def packed(thing: Any) -> Parcel:
    """Return a parcel of an object; its block lives until `unpacked` or `thrown_away`."""
    buffers: list[pickle.PickleBuffer] = []
    body = pickle.dumps(thing, protocol=5, buffer_callback=buffers.append)
    raws = [buffer.raw() for buffer in buffers]
    sizes = tuple(raw.nbytes for raw in raws)
    if not sum(sizes):
        return Parcel(pickle.dumps(thing, protocol=5), "", ())
    block = shared_memory.SharedMemory(create=True, size=sum(_room(size) for size in sizes))
    start = 0
    for raw in raws:
        target = np.frombuffer(block.buf or b"", dtype=np.uint8, count=raw.nbytes, offset=start)
        np.copyto(target, np.frombuffer(raw, dtype=np.uint8))
        start += _room(raw.nbytes)
        del target
    name = block.name
    # The receiver removes the block; the sender's tracker would complain about it.
    resource_tracker.unregister(f"/{name.lstrip('/')}", "shared_memory")
    block.close()
    return Parcel(body, name, sizes)


def unpacked(parcel: Parcel) -> Any:
    """Return the object of a parcel, its arrays read-only, and remove the block."""
    if not parcel.block:
        return pickle.loads(parcel.body)
    block = shared_memory.SharedMemory(name=parcel.block)
    arrays = []
    start = 0
    for size in parcel.sizes:
        source = np.frombuffer(block.buf or b"", dtype=np.uint8, count=size, offset=start)
        array = np.empty(size, dtype=np.uint8)
        np.copyto(array, source)
        array.flags.writeable = False
        arrays.append(array)
        start += _room(size)
        del source
    block.close()
    block.unlink()
    return pickle.loads(parcel.body, buffers=arrays)


def thrown_away(parcel: Parcel) -> None:
    """Remove the block of a parcel that nobody opens."""
    if parcel.block:
        block = shared_memory.SharedMemory(name=parcel.block)
        block.close()
        block.unlink()


def _room(size: int) -> int:
    """Return the room that an array takes, so that the next begins on a cache line."""
    return -(-size // _LINE) * _LINE
