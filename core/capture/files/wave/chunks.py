"""Walking the chunks of a RIFF, RF64 or BW64 file without trusting any size that it states."""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from typing import BinaryIO

from core.values import dataclass

UNKNOWN = 0xFFFFFFFF
"""A 32-bit size that says: look in `ds64`, or: never filled in."""

MOST_CHUNKS = 10_000


@dataclass(frozen=True, slots=True)
class Chunk:
    """One chunk: its four-letter name, where its content starts, and the size it states."""

    name: bytes
    start: int
    size: int


def read_at(file: BinaryIO, start: int, size: int) -> bytes:
    """Up to `size` bytes from `start`."""
    file.seek(start)
    return file.read(size)


def printable(name: bytes) -> bool:
    """Whether four bytes could be the name of a chunk."""
    return len(name) == 4 and all(32 <= byte < 127 for byte in name) and name != b"    "


def chunk_at(file: BinaryIO, at: int, end: int, big: Mapping[bytes, int]) -> Chunk | None:
    """The chunk whose head stands at `at`, or none; `big` gives the sizes that `ds64` keeps."""
    if at + 8 > end:
        return None
    head = read_at(file, at, 8)
    if len(head) < 8 or not printable(head[:4]):
        return None
    size = struct.unpack("<I", head[4:])[0]
    if size == UNKNOWN and head[:4] in big:
        size = big[head[:4]]
    return Chunk(head[:4], at + 8, size)


def after(file: BinaryIO, chunk: Chunk, end: int, big: Mapping[bytes, int]) -> int:
    """Where the next chunk starts: on an even byte, or at once if a writer forgot the pad byte."""
    at = chunk.start + chunk.size
    if chunk.size % 2 == 0 or at >= end:
        return at
    if chunk_at(file, at + 1, end, big) is None and chunk_at(file, at, end, big) is not None:
        return at
    return at + 1


def walk(file: BinaryIO, at: int, end: int, big: Mapping[bytes, int]) -> Iterator[Chunk]:
    """Chunk after chunk from `at`, as long as the heads make sense; the last may run past `end`."""
    for _ in range(MOST_CHUNKS):
        chunk = chunk_at(file, at, end, big)
        if chunk is None:
            return
        yield chunk
        at = after(file, chunk, end, big)


def closes(file: BinaryIO, at: int, end: int, big: Mapping[bytes, int]) -> bool:
    """Whether a chain of chunks leads from `at` to the very end of the file."""
    reached = at
    for chunk in walk(file, at, end, big):
        reached = chunk.start + chunk.size
        if reached > end:
            return False
        reached = after(file, chunk, end, big)
    return at < reached and end <= reached <= end + 1
