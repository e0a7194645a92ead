"""Made-up sound as a 24-bit WAV file."""

from __future__ import annotations

import wave
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

RATE = 96_000
"""Samples a second of everything that is made up."""
Sound = NDArray[np.float32]


def write_wav(path: Path, tracks: Sequence[Sound]) -> Path:
    """Writes tracks of one length, full scale 1, interleaved; the folder must be there."""
    whole = (np.clip(np.stack(tracks, 1), -1, 1 - 2**-23) * (1 << 23)).astype("<i4")
    with wave.open(str(path), "wb") as file:
        file.setnchannels(len(tracks))
        file.setsampwidth(3)
        file.setframerate(RATE)
        file.writeframes(whole.view(np.uint8).reshape(*whole.shape, 4)[..., :3].tobytes())
    return path
