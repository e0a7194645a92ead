"""WAV files written in one go: with `bext`, as RF64 from 4 GiB on, hashed as they are written.

Layout of `bext` by EBU Tech 3285, of RF64 by EBU Tech 3306; the size is known beforehand, so that no field
is ever put right later and a file that broke off cannot pass for whole.
"""

from __future__ import annotations

import hashlib
import os
import struct
from pathlib import Path

import numpy as np

from core.capture.files.samples import Planar

MOST_RIFF = 0xFFFFFFFF
"""Largest size that a RIFF field tells."""


def wav_head(
    channels: int, rate: int, bits: int, *, is_float: bool, frames: int, bext: bytes, most: int = MOST_RIFF
) -> bytes:
    """Everything before the samples; no ``bext`` where there is nothing to say in one."""
    frame = channels * bits // 8
    data = frames * frame
    tag = 3 if is_float else 1
    fmt = struct.pack("<HHIIHH", tag, channels, rate, rate * frame, frame, bits)
    if is_float:
        fmt += struct.pack("<H", 0)
    chunks = (_chunk(b"bext", bext) if bext else b"") + _chunk(b"fmt ", fmt)
    if is_float:
        chunks += _chunk(b"fact", struct.pack("<I", min(frames, 0xFFFFFFFF)))
    riff = 4 + len(chunks) + 8 + data + data % 2
    if riff <= most and data <= most:
        return b"RIFF" + struct.pack("<I", riff) + b"WAVE" + chunks + b"data" + struct.pack("<I", data)
    big = _chunk(b"ds64", struct.pack("<QQQI", riff + 36, data, frames, 0))
    return b"RF64" + b"\xff" * 4 + b"WAVE" + big + chunks + b"data" + b"\xff" * 4


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def sample_bytes(sound: Planar, bits: int, *, is_float: bool) -> bytes:
    """Channels by frames as they lie in the file: whole numbers of that depth, or floating point as it is."""
    if is_float:
        return np.ascontiguousarray(sound.T.astype("<f4" if bits == 32 else "<f8", copy=False)).tobytes()
    whole = np.ascontiguousarray(sound.T)
    if bits == 24:
        wide = whole.astype("<i4", copy=False).reshape(-1).view(np.uint8)
        out = np.empty(3 * whole.size, np.uint8)
        for byte in range(3):
            out[byte::3] = wide[byte::4]
        return out.tobytes()
    if bits == 8:
        return (whole + 128).astype("u1").tobytes()
    return whole.astype({16: "<i2", 32: "<i4"}[bits], copy=False).tobytes()


class WavOut:
    """One file on its way: written beside its place under another name, and put there when it is whole."""

    def __init__(self, path: Path, head: bytes, frame_bytes: int, frames: int) -> None:
        self.path = path
        self.beside = path.with_name(f".{path.name}.part")
        self._left = frames * frame_bytes
        self._odd = self._left % 2
        self._digest = hashlib.sha256()
        self._file = open(self.beside, "wb", buffering=0)  # noqa: SIM115
        self._put(head)

    def _put(self, content: bytes) -> None:
        self._digest.update(content)
        view = memoryview(content)
        while view:
            view = view[self._file.write(view) :]

    def write(self, content: bytes) -> None:
        """The next samples."""
        self._left -= len(content)
        self._put(content)

    def finish(self) -> str:
        """Puts the file into its place once it is safe on the disk and read again; its SHA-256."""
        if self._left:
            raise ValueError(f"{self.path.name} lacks {self._left} bytes")
        if self._odd:
            self._put(b"\0")
        os.fsync(self._file.fileno())
        self._file.close()
        with open(self.beside, "rb", buffering=0) as again:
            digest = hashlib.file_digest(again, "sha256").hexdigest()
        if digest != self._digest.hexdigest():
            raise OSError(f"{self.path.name} reads otherwise than it was written: try another disk")
        os.replace(self.beside, self.path)
        return digest

    def abandon(self) -> None:
        """Takes away what was written so far."""
        self._file.close()
        self.beside.unlink(missing_ok=True)
