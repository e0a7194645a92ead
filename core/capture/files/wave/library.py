"""FLAC and AIFF, as libsndfile reads them."""

from __future__ import annotations

import io
import os
from pathlib import Path
from typing import TYPE_CHECKING

from core.capture.files.wave.header import Header, Unreadable, believable

if TYPE_CHECKING:
    import soundfile

_DEPTHS = {"PCM_S8": 8, "PCM_U8": 8, "PCM_16": 16, "PCM_24": 24, "PCM_32": 32, "FLOAT": 32, "DOUBLE": 64}
_UNKNOWN_FRAMES = 1 << 40
_BYTES = 1 << 18
"""What the decoder is handed at once."""


def library_header(path: Path, size: int) -> Header:
    """The header of a file that libsndfile opens; raises Unreadable."""
    import soundfile

    try:
        with open(path, "rb", buffering=0) as file, decoder(file) as sound:
            kind = {"FLAC": "FLAC", "AIFF": "AIFF"}.get(sound.format)
            if kind is None or sound.subtype not in _DEPTHS:
                raise Unreadable(f"is {sound.format} {sound.subtype}, which cannot be measured")
            believable(sound.channels, sound.samplerate)
            depth = _DEPTHS[sound.subtype]
            frames = sound.frames if 0 <= sound.frames < _UNKNOWN_FRAMES else _count(sound)
            return Header(kind, sound.subtype, sound.samplerate, sound.channels, depth, (depth + 7) // 8,
                          0, frames, frames, "whole", size, raw=False)  # fmt: skip
    except (soundfile.SoundFileError, RuntimeError, ValueError) as error:
        raise Unreadable(f"cannot be decoded: {error}") from None


def _count(sound: object) -> int:
    """Frames of a stream that does not tell them, by decoding it."""
    frames = 0
    while len(block := sound.read(65536, dtype="int32", always_2d=True)):  # type: ignore[attr-defined]
        frames += len(block)
    return frames


class _Patient(io.BufferedReader):
    """A file that stays where it is when a damaged header sends the decoder to a place that cannot be."""

    def seek(self, offset: int, whence: int = os.SEEK_SET) -> int:
        """Go elsewhere, if there is such a place."""
        try:
            return super().seek(offset, whence)
        except (OSError, ValueError, OverflowError):
            return self.tell()


def decoder(file: io.RawIOBase) -> soundfile.SoundFile:
    """libsndfile on an open file, handed large pieces; raises RuntimeError where it cannot decode."""
    import soundfile

    return soundfile.SoundFile(_Patient(file, _BYTES))
