"""A band of recordings that have nothing to do with one another, a track each, and a tape that was cut."""

from __future__ import annotations

import numpy as np
from realsound import RATE, recordings, with_hiss


def band(part: str, seed: int, seconds: float, tracks: int = 16) -> np.ndarray:
    """Tracks by frames: recordings of a part over hiss of -68 dBFS; fewer where not so many are installed."""
    every = [sound for _, _, sound in recordings(part, seconds) if len(sound) >= seconds * RATE]
    dice, frames = np.random.default_rng(seed), int(seconds * RATE)
    chosen = dice.permutation(len(every))[:tracks].tolist()
    rows = [
        with_hiss(np.roll(every[at], int(dice.integers(len(every[at]))))[:frames], -68.0, at) for at in chosen
    ]
    return np.stack(rows) if rows else np.zeros((0, frames), np.float32)


def spliced(
    sound: np.ndarray, dice: np.random.Generator, every: float = 5.0
) -> tuple[np.ndarray, list[float]]:
    """The sound cut every so many seconds, going on from elsewhere, and where.

    A cut at an angle comes to the tracks one after another, over up to 1 ms, and crosses each in 0.05 to 0.3
    ms (a track of 2 mm at 15 in/s passes a cut of 3 degrees in 0.3 ms).
    """
    out, at, frames = sound.copy(), every, sound.shape[1]
    places: list[float] = []
    while at < frames / RATE - 2:
        first, slant = int(at * RATE), dice.uniform(0, 0.001) * RATE
        fade = max(2, int(dice.uniform(0.00005, 0.0003) * RATE))
        shift = int(dice.integers(RATE // 2, frames - 1))
        for number in range(len(out)):
            start = first + int(slant * number / len(out))
            there = np.roll(sound[number], -shift)[start:]
            share = np.clip(np.arange(frames - start) / fade, 0, 1).astype(np.float32)
            out[number, start:] = out[number, start:] * (1 - share) + there * share
        places.append(at)
        at += every * dice.uniform(0.8, 1.4)
    return out, places
