"""Stretches of a piece of a pass, read apart from the one pass, for the places where pieces meet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from core.capture.files.layout import Piece
from core.capture.files.samples import PAD, Scale, body, buffer_for, means_of, to_planar
from core.capture.files.wave.header import Header
from core.capture.files.wave.library import decoder

Sound = NDArray[np.float32]
"""Channels by frames, full scale 1."""
_BLOCK = 65536


class Excerpts:
    """Reads stretches of one piece; memory is that of what is asked for."""

    def __init__(self, paths: Sequence[Path], headers: Sequence[Header | None], piece: Piece) -> None:
        self._paths, self._headers, self.piece = paths, headers, piece
        first = headers[piece.files[0]]
        assert first is not None
        self.sample_rate = first.sample_rate

    def of(self, piece: Piece) -> Excerpts:
        """The same files, as another piece has them."""
        return Excerpts(self._paths, self._headers, piece)

    def read(self, start: int, stop: int, rows: Sequence[int] | None = None) -> Sound:
        """The tracks of those rows, else all, from frame `start` to `stop`; zeros where nothing is."""
        columns = self.piece.columns if rows is None else [self.piece.columns[row] for row in rows]
        out = np.zeros((len(columns), max(0, stop - start)), np.float32)
        for file in dict.fromkeys(column.file for column in columns):
            header = self._headers[file]
            here = [at for at, column in enumerate(columns) if column.file == file]
            first, last = max(0, start), min(stop, header.frames if header is not None else 0)
            if header is not None and last > first:
                channels = [columns[at].channel for at in here]
                sound = _frames(self._paths[file], header, first, last, channels)
                out[here, first - start : last - start] = sound
        return out

    def slow(self, start: int, stop: int, down: int, rows: Sequence[int] | None = None) -> Sound:
        """As `read`, at a `down`-th of the sample rate: means of so many frames."""
        blocks = []
        step = max(down, _BLOCK // down * down)
        for at in range(start, stop, step):
            sound = self.read(at, min(at + step, stop), rows)
            use = sound.shape[1] // down * down
            blocks.append(means_of(sound[:, :use], down))
        if not blocks:
            return np.zeros((len(self.piece.columns if rows is None else rows), 0), np.float32)
        return np.concatenate(blocks, axis=1)


def _frames(path: Path, header: Header, start: int, stop: int, channels: Sequence[int]) -> Sound:
    """Those channels by frames of one file, full scale 1; zeros where it can no longer be read."""
    scale = Scale.of(header)
    out = np.zeros((len(channels), stop - start), np.float32)
    try:
        if not header.raw:
            with open(path, "rb", buffering=0) as raw, decoder(raw) as sound:
                sound.seek(start)
                got = sound.read(stop - start, dtype="float32", always_2d=True).T
                out[:, : got.shape[1]] = got[channels]
            return out
        buffer = buffer_for(header, stop - start)
        with open(path, "rb") as file:
            file.seek(header.sound_start + start * header.frame_bytes)
            file.readinto(body(buffer, len(buffer) - 2 * PAD))
    except (OSError, RuntimeError):
        return out
    planar = np.empty(out.shape, scale.dtype)
    for row, channel in enumerate(channels):
        to_planar(buffer, header, 0, planar[row : row + 1], channel)
    # Full scale is a power of two: it is the same to the bit, and a third of the work, to turn into floating
    # point first.
    np.copyto(out, planar, casting="unsafe")
    out *= np.float32(scale.unit)
    return np.nan_to_num(out, copy=False) if header.is_float else out
