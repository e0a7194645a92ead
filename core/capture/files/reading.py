"""The one read of a pass: every byte goes to SHA-256 and every sample to the scan, in blocks.

Originals are opened for reading only. Memory does not grow with the length of the files.
"""

from __future__ import annotations

import itertools
import queue
import threading
from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from core.capture.files.feed import Feed
from core.capture.files.layout import Piece
from core.capture.files.progress import Asked, Cancelled, never
from core.capture.files.samples import RAISED, Bytes, Planar, buffer_for, to_raised
from core.capture.files.wave.header import Header

BLOCK_FRAMES = 16384
_RING = 6
"""Blocks under way between the thread that reads and hashes and the one that scans."""


@dataclass(slots=True)
class Slab:
    """A block of frames of one piece: what was read for each of its files."""

    piece: Piece
    frames: int
    blocks: dict[int, Any]
    """By file: a buffer of bytes, an array of libsndfile, or none where nothing was left to read."""
    counts: dict[int, int] = field(default_factory=dict)
    """By file: how many of the frames it really gave."""


class Reading:
    """Reads the pieces of a pass in order and hands slabs to the scan."""

    def __init__(self, paths: Sequence[Path], headers: Sequence[Header | None], pieces: Sequence[Piece], *,
                 block_frames: int = BLOCK_FRAMES, workers: int = 1,
                 cancelled: Asked | None = None) -> None:  # fmt: skip
        self.feeds = [Feed(path, header) for path, header in zip(paths, headers, strict=True)]
        self.pieces = pieces
        self.block_frames = block_frames
        self.workers = workers
        self._cancelled = cancelled or never

    def slabs(self) -> Generator[Slab, None, None]:
        """Slab after slab; with two workers, reading and hashing run ahead in a thread of their own.

        However it ends, every file is closed then.
        """
        try:
            if self.workers < 2:
                yield from self._read(1)
                self._rest()
            else:
                yield from self._threaded()
        finally:
            for feed in self.feeds:
                feed.close()

    def _read(self, under_way: int) -> Iterator[Slab]:
        """Read on; a buffer is filled again `under_way` slabs later."""
        rings: Iterator[dict[int, Bytes]] = itertools.cycle([{} for _ in range(under_way)])
        for piece in self.pieces:
            feeds = {at: self.feeds[at] for at in piece.files}
            for feed in feeds.values():
                feed.open()
            for start in range(0, piece.frames, self.block_frames):
                if self._cancelled():
                    raise Cancelled
                frames = min(self.block_frames, piece.frames - start)
                yield self._slab(piece, feeds, frames, next(rings))
            for feed in feeds.values():
                feed.finish()

    def _slab(self, piece: Piece, feeds: dict[int, Feed], frames: int, kept: dict[int, Bytes]) -> Slab:
        slab = Slab(piece, frames, {})
        for at, feed in feeds.items():
            before = feed.read_frames
            buffer = None
            if feed.header is not None and feed.header.raw:
                size = feed.header.frame_bytes * self.block_frames
                buffer = kept.get(at)
                if buffer is None or len(buffer) < size:
                    buffer = kept[at] = buffer_for(feed.header, self.block_frames)
            slab.blocks[at] = feed.next_block(buffer, frames)
            slab.counts[at] = feed.read_frames - before
        return slab

    def _rest(self) -> None:
        """Hash the files that no piece uses."""
        for feed in self.feeds:
            if feed.sha256 is None and feed.trouble is None:
                if self._cancelled():
                    raise Cancelled
                feed.open()
                feed.finish()

    def _threaded(self) -> Generator[Slab, None, None]:
        ready: queue.Queue[Slab | BaseException | None] = queue.Queue(maxsize=_RING)
        stop = threading.Event()

        def put(value: Slab | BaseException | None) -> None:
            while not stop.is_set():
                try:
                    ready.put(value, timeout=0.2)
                    return
                except queue.Full:
                    continue

        def run() -> None:
            try:
                for slab in self._read(_RING + 2):
                    put(slab)
                    if stop.is_set():
                        return
                self._rest()
                put(None)
            except BaseException as error:
                put(error)

        thread = threading.Thread(target=run, name="read and hash", daemon=True)
        thread.start()
        try:
            while (got := ready.get()) is not None:
                if isinstance(got, BaseException):
                    raise got
                yield got
        finally:
            stop.set()
            thread.join()


def fill_planar(slab: Slab, headers: Sequence[Header | None], start: int, out: Planar) -> None:
    """Write a slab's frames from `start` on into planar rows, one a column of its piece."""
    fill_raised(slab, headers, start, out)
    for row, column in enumerate(slab.piece.columns):
        header = headers[column.file]
        if header is not None and _is_raised(header):
            np.right_shift(out[row], RAISED, out=out[row])


def fill_raised(slab: Slab, headers: Sequence[Header | None], start: int, out: Planar) -> None:
    """As `fill_planar`, but 3-byte samples are left raised as `to_raised` leaves them."""
    if len(slab.blocks) == 1 and len(slab.piece.columns) > 1:
        (at,) = slab.blocks
        _fill_rows(slab, headers[at], at, start, out)
        return
    for row, column in enumerate(slab.piece.columns):
        _fill_rows(slab, headers[column.file], column.file, start, out[row : row + 1])


def _is_raised(header: Header) -> bool:
    return header.sample_bytes == 3 and not header.is_float


def _fill_rows(slab: Slab, header: Header | None, at: int, start: int, out: Planar) -> None:
    frames, block = out.shape[1], slab.blocks.get(at)
    there = min(frames, max(0, slab.counts.get(at, 0) - start))
    if there < frames or block is None or header is None:
        out[:, max(0, there) :] = 0
    if block is None or header is None or there <= 0:
        return
    if header.raw:
        to_raised(block, header, start, out[:, :there])
    elif header.is_float or _is_raised(header):
        out[:, :there] = block[start : start + there].T
    else:
        out[:, :there] = block[start : start + there].T >> (32 - 8 * header.sample_bytes)
