"""A made-up drum set: kick, snare and hat."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from core.capture.made_up.notes import Note, Since, as_sound
from core.capture.made_up.wav import Sound

SNARE_SECONDS = 0.3


def drums(seconds: float, seed: int) -> list[Note]:
    """Kick, snare and hat to half seconds, each hit some milliseconds early or late."""
    luck = np.random.default_rng(seed)
    hiss = luck.standard_normal(1 << 15).astype(np.float32)
    notes = []
    for number in range(int(seconds / 0.25)):
        at = 0.05 + number * 0.25 + float(luck.normal(0, 0.006))
        loud = float(luck.uniform(0.6, 1.0))
        if number % 4 == 0:
            notes.append(Note(at, 0.4, _kick(loud)))
        if number % 4 == 2:
            notes.append(Note(at, SNARE_SECONDS, _snare(loud, hiss, int(luck.integers(0, 9000)))))
        notes.append(Note(at + float(luck.normal(0, 0.002)), 0.1, _hat(loud, hiss, int(luck.integers(9000)))))
    return notes


def _kick(loud: float) -> Callable[[Since], Sound]:
    def sound(since: Since) -> Sound:
        cycles = 52 * since + 40 / 30 * (1 - np.exp(-30 * since))
        return as_sound(0.42 * loud * np.exp(-9 * since) * np.sin(2 * np.pi * cycles))

    return sound


def _snare(loud: float, hiss: Sound, start: int) -> Callable[[Since], Sound]:
    def sound(since: Since) -> Sound:
        rattle = _read(hiss, start, since)
        return as_sound(0.16 * loud * np.exp(-18 * since) * (0.6 * rattle + np.sin(2 * np.pi * 190 * since)))

    return sound


def _hat(loud: float, hiss: Sound, start: int) -> Callable[[Since], Sound]:
    return lambda since: as_sound(0.06 * loud * np.exp(-50 * since) * _read(hiss, start, since))


def _read(hiss: Sound, start: int, since: Since) -> Sound:
    """So much of the noise."""
    return hiss[start : start + since.size]
