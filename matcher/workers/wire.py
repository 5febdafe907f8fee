"""What goes through a pipe between two of our own processes: any picklable thing, large arrays uncopied.

Pickle is as safe here as its sender: a worker has the rights of the process that started it, so nothing is gained by
deceiving it. A picture of 9 MB takes some 4 ms to cross, shared memory would take 5 (a copy on either side).
"""

from __future__ import annotations

import pickle
import struct
from collections.abc import Sequence
from typing import BinaryIO

_COUNT, _SIZE = struct.Struct("<I"), struct.Struct("<Q")


def send(stream: BinaryIO, thing: object) -> None:
    """Write ``thing``: first its pickle, then its large buffers as they lie in memory (PEP 574)."""
    buffers: list[pickle.PickleBuffer] = []
    head = pickle.dumps(thing, protocol=5, buffer_callback=buffers.append)
    parts = [memoryview(head), *(buffer.raw() for buffer in buffers)]
    stream.write(_COUNT.pack(len(parts)))
    for part in parts:
        stream.write(_SIZE.pack(part.nbytes))
        stream.write(part)
    stream.flush()


def receive(stream: BinaryIO) -> Sequence[bytearray]:
    """Return the parts of what was sent; raises EOFError where the other end closed before they were whole."""
    (count,) = _COUNT.unpack(_exactly(stream, _COUNT.size))
    return [_exactly(stream, *_SIZE.unpack(_exactly(stream, _SIZE.size))) for _ in range(count)]


def unpacked(parts: Sequence[bytearray]) -> object:
    """Return the thing that came in ``parts``."""
    head, *buffers = parts
    return pickle.loads(head, buffers=buffers)


def _exactly(stream: BinaryIO, size: int) -> bytearray:
    content = bytearray(size)
    left = memoryview(content)
    while left:
        taken = stream.readinto(left)  # type: ignore[attr-defined]  # every binary file has it; typing.IO says nothing
        if not taken:
            raise EOFError
        left = left[taken:]
    return content
