"""Writes linear timecode as sound: for made-up tapes, and to try the reader on."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.capture.timecode.labels import Rate, frame_number, label_of
from core.capture.timecode.word import BITS, Word, bits_of

RISE_SECONDS = 50e-6
"""Whole length of a straight edge whose 10 to 90 % takes 40 microseconds (ST 12-1: 40 +- 10)."""

Samples = NDArray[np.float64]


def word_bits(first: str, frames: int, rate: Rate, user: int = 0) -> NDArray[np.uint8]:
    """Bits of consecutive frames from a label on, one row of 80 a frame."""
    start = frame_number(first, rate)
    rows = np.empty((frames, BITS), np.uint8)
    for row in range(frames):
        hours, minutes, seconds, frame = (int(part) for part in label_of(start + row, rate).split(":"))
        rows[row] = bits_of(Word(hours, minutes, seconds, frame, rate.count, rate.drop, user=user))
    return rows


def edges_of(bits: NDArray[np.uint8]) -> Samples:
    """Places of all level changes, in bits from the start: one where a bit begins, one inside each 1."""
    flat = bits.ravel()
    places = np.concatenate([np.arange(flat.size + 1.0), np.flatnonzero(flat) + 0.5])
    places.sort()
    return places


def square(edges: Samples, samples: int, rise: float, amplitude: float = 1.0) -> NDArray[np.float32]:
    """A wave that changes level at each edge (in samples, may lie between them) along a straight slope.

    `rise` is the whole length of the slope in samples. Before the first edge the level is low.
    """
    half = np.minimum(rise, np.diff(edges, append=np.inf).min()) / 2
    level = np.where(np.arange(edges.size) % 2, -amplitude, amplitude)
    corners = np.stack([edges - half, edges + half], 1).ravel()
    levels = np.stack([-level, level], 1).ravel()
    sound: NDArray[np.float32] = np.interp(np.arange(samples), corners, levels).astype(np.float32)
    return sound


def timecode(
    first: str, frames: int, rate: Rate, sample_rate: int, *, amplitude: float = 0.5, speed: float = 1.0,
    user: int = 0, lead: float = 0.0,
) -> NDArray[np.float32]:  # fmt: skip
    """So many frames of code from a label on, as sound in full scale +-1.

    `speed` 1.03 plays 3 % fast. `lead` is silence before it, in samples (may be a fraction); the file
    ends with the last frame. For code on a tape that ran backwards, reverse the result.
    """
    bit = sample_rate / (float(rate.frames_per_second) * BITS * speed)
    edges = edges_of(word_bits(first, frames, rate, user)) * bit + lead
    sound = square(edges, round(edges[-1]), RISE_SECONDS * sample_rate, amplitude)
    if lead > 0:
        sound[: int(np.floor(lead - RISE_SECONDS * sample_rate / 2))] = 0
    return sound
