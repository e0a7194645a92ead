"""Made-up instruments as notes: what each plays at which second of a song."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from core.capture.made_up.wav import RATE, Sound
from core.values import dataclass

Since = NDArray[np.float32]
TIED = 0.06
"""Seconds by which a sung or held note reaches into the next: no gap between them is a fault of the tape."""


@dataclass(frozen=True, slots=True)
class Note:
    """What sounds from a second of the song on, for so long; ``sound`` is told of the seconds since then."""

    at: float
    seconds: float
    sound: Callable[[Since], Sound]


def played(notes: Sequence[Note], seconds: float) -> Sound:
    """So many seconds of the notes at ``RATE``; computed at half of it, above which nothing of them lies."""
    import soxr

    half = RATE // 2
    out = np.zeros(round(seconds * half), np.float32)
    for note in notes:
        first, last = round(note.at * half), min(out.size, round((note.at + note.seconds) * half))
        if last > first:
            out[first:last] += note.sound((np.arange(first, last) / half - note.at).astype(np.float32))
    return np.asarray(soxr.resample(out, half, RATE), np.float32)


def plucked(seconds: float, seed: int, low: float, every: float, strings: int) -> list[Note]:
    """A bass, a guitar, a piano: notes or chords over a scale from ``low`` Hz, about ``every`` seconds."""
    luck, notes, at = np.random.default_rng(seed), [], 0.1
    while at < seconds - 1:
        long = every * float(luck.choice([1, 1, 1.5, 2]))
        for _ in range(strings):
            hertz = low * 2 ** (float(luck.choice([0, 2, 3, 5, 7, 8, 10, 12, 14, 15])) / 12)
            start = at + float(abs(luck.normal(0, 0.008)))
            notes.append(Note(start, min(1.6, seconds - start), _string(hertz, float(luck.uniform(0.5, 1)))))
        at += long
    return notes


def sung(seconds: float, seed: int, level: float = 0.22, high: float = 1.0) -> list[Note]:
    """A voice, or a whistle an octave and more ``high``: phrases with vibrato, and rests to breathe."""
    luck, notes, at, hertz = np.random.default_rng(seed), [], 0.6, 250.0
    while at < seconds - 2:
        for _ in range(int(luck.integers(4, 8))):
            long = float(luck.uniform(0.3, 0.9))
            hertz = float(np.clip(hertz * 2 ** (int(luck.integers(-4, 5)) / 12), 180, 440))
            if at + long < seconds:
                notes.append(Note(at, long + TIED, _breath(hertz * high, long + TIED, level)))
            at += long
        at += float(luck.uniform(0.4, 1.2))
    return notes


def held(seconds: float, seed: int) -> list[Note]:
    """An organ: chords of three, changed every two seconds and more."""
    luck, notes, at = np.random.default_rng(seed), [], 0.3
    while at < seconds - 2.5:
        long = float(luck.uniform(1.8, 3.6))
        for step in luck.choice([0, 3, 4, 7, 9, 12], 3, replace=False):
            notes.append(Note(at, long + TIED, _pipe(196 * 2 ** (int(step) / 12), long + TIED)))
        at += long
    return notes


def _string(hertz: float, loud: float) -> Callable[[Since], Sound]:
    def sound(since: Since) -> Sound:
        cycles = 2 * np.pi * hertz * since
        tone = sum(np.sin(n * cycles) / n**1.3 for n in range(1, 7))
        return as_sound(0.12 * loud * np.minimum(since * 300, 1) * np.exp(-3.2 * since) * tone)

    return sound


def _breath(hertz: float, long: float, level: float) -> Callable[[Since], Sound]:
    def sound(since: Since) -> Sound:
        cycles = 2 * np.pi * hertz * since + 0.8 * np.sin(2 * np.pi * 5.5 * since)
        tone = (
            np.sin(cycles) + 0.6 * np.sin(2 * cycles) + 0.35 * np.sin(3 * cycles) + 0.15 * np.sin(5 * cycles)
        )
        return as_sound(level * _shape(since, long, TIED) * tone)

    return sound


def _pipe(hertz: float, long: float) -> Callable[[Since], Sound]:
    def sound(since: Since) -> Sound:
        cycles = 2 * np.pi * hertz * since
        return as_sound(0.08 * _shape(since, long, TIED) * (np.sin(cycles) + 0.5 * np.sin(2 * cycles)))

    return sound


def _shape(since: Since, long: float, edge: float) -> Since:
    return as_sound(np.clip(np.minimum(since, long - since) / edge, 0, 1))


def as_sound(sound: object) -> Sound:
    """Single floats, as made-up sound is kept."""
    return np.asarray(sound, np.float32)
