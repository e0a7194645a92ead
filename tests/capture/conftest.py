"""Builders of captured files: chunk by chunk, so that every size field can lie."""

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

PCM_GUID = bytes.fromhex("0100000000001000800000aa00389b71")


def chunk(name: bytes, content: bytes, size: int | None = None) -> bytes:
    """One chunk with its pad byte; `size` in place of the true one."""
    told = len(content) if size is None else size
    return name + struct.pack("<I", told) + content + b"\0" * (len(content) % 2)


def pcm_bytes(sound: np.ndarray, bits: int) -> bytes:
    """Frames by channels, floats of full scale 1, or integers as they are, as little-endian PCM."""
    sound = np.atleast_2d(sound.T).T
    if sound.dtype.kind == "f":
        top = 2 ** (bits - 1)
        sound = np.clip(np.round(sound * top), -top, top - 1)
    whole = sound.astype("<i4")
    if bits == 16:
        return whole.astype("<i2").tobytes()
    if bits == 32:
        return whole.tobytes()
    return whole.view(np.uint8).reshape(*whole.shape, 4)[..., :3].tobytes()


@dataclass
class WavBuilder:
    """Writes WAV files with every field open to a lie."""

    folder: Path

    def __call__(self, name, sound, rate=48000, bits=24, *, form=b"RIFF", riff_size=None, data_size=None,
                 before=b"", after=b"", extensible=False, bext=None, cut=None):  # fmt: skip
        sound = np.asarray(sound)
        channels = 1 if sound.ndim == 1 else sound.shape[1]
        data = pcm_bytes(sound, bits)
        align = channels * bits // 8
        tag = 0xFFFE if extensible else 1
        fmt = struct.pack("<HHIIHH", tag, channels, rate, rate * align, align, bits)
        if extensible:
            fmt += struct.pack("<HHI", 22, bits, 0) + PCM_GUID
        body = b"WAVE"
        if form != b"RIFF":
            frames = len(data) // align
            riff_size, data_size = 0xFFFFFFFF, 0xFFFFFFFF
            body += chunk(b"ds64", struct.pack("<QQQI", 0, len(data), frames, 0))
        if bext is not None:
            body += chunk(b"bext", bext)
        body += chunk(b"fmt ", fmt) + before + chunk(b"data", data, data_size) + after
        whole = form + struct.pack("<I", len(body) if riff_size is None else riff_size) + body
        path = self.folder / name
        path.write_bytes(whole if cut is None else whole[:cut])
        return path


@pytest.fixture
def wav(tmp_path):
    """`wav(name, sound, rate, bits, ...)` writes a file into the test's folder and gives its path."""
    return WavBuilder(tmp_path)


@pytest.fixture
def rng():
    return np.random.default_rng(20261201)
