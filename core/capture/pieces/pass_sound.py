"""Some tracks of a captured pass read again, as one sound from its first frame to its last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from core.capture.files.layout import Piece, lay_out
from core.capture.files.pass_files import headers_of
from core.capture.files.samples import PAD, Planar, Scale, body, buffer_for
from core.capture.files.wave.header import Header
from core.capture.files.wave.library import decoder
from core.capture.pieces.joins import join_pieces
from core.values import dataclass

_BLOCK = 1 << 16
_HOLE_SECONDS = 0.005


class NotThere(Exception):
    """A file of the pass cannot be read any more; the text names it and says why."""


@dataclass(frozen=True, slots=True)
class _Part:
    """A piece of the pass: which frames of the pass it gives, and from which of its own."""

    piece: Piece
    start: int
    stop: int
    skip: int


class PassSound:
    """The sound of a checked pass; memory is that of what is asked for. Originals are opened for reading."""

    def __init__(self, paths: Sequence[Path], tracks: Sequence[int]) -> None:
        """`paths` in the order of the check, `tracks` as it names them; NotThere where one cannot be read."""
        self.paths = list(paths)
        self._headers, trouble = headers_of(self.paths)
        for at, why in trouble.items():
            raise NotThere(f"{self.paths[at]}: {why}")
        layout = lay_out(self._headers, len(tracks) or None)
        if layout is None:
            raise NotThere(f"{self.paths[0] if self.paths else 'no file'}: holds no sound")
        self.tracks = tuple(tracks) or tuple(range(1, layout.channels + 1))
        self.sample_rate = layout.sample_rate
        self.header = self._header(layout.pieces[0].files[0])
        self.scale = Scale.of(self.header)
        self._parts: list[_Part] = []
        layout, junctions = join_pieces(self.paths, self._headers, layout, _HOLE_SECONDS)
        skips = {one.piece: one.skip for one in junctions}
        at = 0
        for number, piece in enumerate(layout.pieces):
            skip = skips.get(number, 0)
            self._parts.append(_Part(piece, at, at + piece.frames - skip, skip))
            at += piece.frames - skip
        self.frames = at

    def _header(self, file: int) -> Header:
        header = self._headers[file]
        assert header is not None
        return header

    def files_of(self, tracks: Sequence[int]) -> list[Path]:
        """The files that these tracks are read from."""
        columns = [part.piece.columns[self.tracks.index(track)] for part in self._parts for track in tracks]
        return [self.paths[at] for at in dict.fromkeys(column.file for column in columns)]

    def read(self, tracks: Sequence[int], start: int, stop: int) -> Planar:
        """Tracks by frames, the very values of the files; zeros before the first frame and after the last."""
        kind = self.scale.dtype
        out = np.zeros((len(tracks), max(0, stop - start)), kind)
        for part in self._parts:
            low, high = max(start, part.start), min(stop, part.stop)
            if high > low:
                from_frame = low - part.start + part.skip
                self._fill(part.piece, tracks, from_frame, out[:, low - start : high - start])
        return out

    def floats(self, tracks: Sequence[int], start: int, stop: int) -> NDArray[np.float32]:
        """As `read`, full scale 1."""
        sound = self.read(tracks, start, stop) * self.scale.unit
        return np.asarray(np.nan_to_num(sound, posinf=0, neginf=0), np.float32)

    def blocks(
        self, tracks: Sequence[int], start: int, stop: int, frames: int = _BLOCK
    ) -> Iterator[tuple[int, Planar]]:
        """The stretch block by block, each with its first frame."""
        for at in range(start, stop, frames):
            yield at, self.read(tracks, at, min(stop, at + frames))

    def _fill(self, piece: Piece, tracks: Sequence[int], start: int, out: Planar) -> None:
        columns = [piece.columns[self.tracks.index(track)] for track in tracks]
        for file in dict.fromkeys(column.file for column in columns):
            rows = [row for row, column in enumerate(columns) if column.file == file]
            channels = [columns[row].channel for row in rows]
            header = self._header(file)
            stop = min(start + out.shape[1], header.frames)
            if stop > start:
                try:
                    out[rows, : stop - start] = _channels(self.paths[file], header, channels, start, stop)
                except (OSError, RuntimeError) as error:
                    why = getattr(error, "strerror", None) or error
                    raise NotThere(f"{self.paths[file]}: cannot be read: {why}") from error


def _channels(path: Path, header: Header, channels: list[int], start: int, stop: int) -> Planar:
    """Some channels of one file, the very values."""
    frames = stop - start
    if not header.raw:
        with open(path, "rb", buffering=0) as raw, decoder(raw) as sound:
            sound.seek(start)
            got = sound.read(frames, dtype="int32", always_2d=True)[:, channels].T
        if got.shape[1] < frames:
            raise RuntimeError("it ends too early")
        return np.asarray(got >> (32 - 8 * header.sample_bytes))
    buffer = buffer_for(header, frames)
    with open(path, "rb", buffering=0) as file:
        file.seek(header.sound_start + start * header.frame_bytes)
        view = body(buffer, frames * header.frame_bytes)
        done = 0
        while done < len(view):
            got_bytes = file.readinto(view[done:])
            if not got_bytes:
                raise RuntimeError("it ends too early")
            done += got_bytes
    shape, strides = (header.channels, frames), (header.sample_bytes, header.frame_bytes)
    if header.encoding == "PCM_24":
        there, out = (
            np.ndarray(shape, "<i4", buffer, PAD - 1, strides),
            np.empty((len(channels), frames), np.int32),
        )
        for row, channel in enumerate(channels):
            np.right_shift(there[channel], 8, out=out[row])
        return out
    if header.encoding == "PCM_U8":
        return np.ndarray(shape, "u1", buffer, PAD, strides)[channels].astype(np.int32) - 128
    kind = {"PCM_16": "<i2", "PCM_32": "<i4", "FLOAT": "<f4", "DOUBLE": "<f8"}[header.encoding]
    return np.ndarray(shape, kind, buffer, PAD, strides)[channels]
