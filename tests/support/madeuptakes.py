"""Made-up songs with harmonies of their own, and takes of them: the same chords and tune, played anew.

A take has its own pace, which wanders; its own timing, timbres, balance and slips; and may be in another key,
without some players, or go another way through the song.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from madeupsongs import Sound, _place, _tone, drums

_CHORDS = ((0, 4, 7), (2, 5, 9), (4, 7, 11), (5, 9, 0), (7, 11, 2), (9, 0, 4))
_SCALE = (0, 2, 4, 5, 7, 9, 11)
_FORMS = ("AABABCB", "ABABCBB", "AABAABA", "ABCABCB")


@dataclass(frozen=True)
class Song:
    """What is written: key, mode, pace, chords and tune of each section, and their order."""

    key: int
    minor: bool
    beats_a_minute: float
    chords: Mapping[str, Sequence[int]]
    tune: Mapping[str, Sequence[tuple[int, float]]]
    form: str

    def pitch(self, step: int) -> int:
        """Semitones over the keynote, in the song's mode."""
        return step - 1 if self.minor and step % 12 in (4, 9, 11) else step


def written(seed: int) -> Song:
    """A song out of a seed."""
    dice = np.random.default_rng(seed)
    usual = [0.25, 0.12, 0.08, 0.22, 0.2, 0.13]
    chords = {name: dice.choice(6, int(dice.choice([4, 8])), p=usual).tolist() for name in "ABC"}
    tune = {
        name: [(int(dice.integers(8)), float(dice.choice([0.5, 1, 1, 2]))) for _ in range(16)]
        for name in "ABC"
    }
    return Song(
        int(dice.integers(12)), bool(dice.random() < 0.4), float(dice.uniform(72, 150)), chords, tune,
        str(dice.choice(_FORMS)),
    )  # fmt: skip


def take(
    song: Song, seed: int, *, rate: int = 8000, semitones: float = 0.0, without: Sequence[str] = (),
    form: str = "",
) -> dict[str, Sound]:  # fmt: skip
    """The tracks of one take; `form` is another way through the song than what is written."""
    dice = np.random.default_rng(seed)
    sections = form or song.form
    bars = [chord for name in sections for _ in range(2) for chord in song.chords[name]]
    beats = _beats(60 / song.beats_a_minute * dice.uniform(0.95, 1.05), 4 * len(bars), dice)
    keynote = 55 * 2 ** ((song.key + semitones + dice.normal(0, 0.05)) / 12)
    size = round((beats[-1] + 3) * rate)
    tracks = {
        "bass": _bass(song, bars, beats, keynote, size, rate, dice),
        "guitar": _guitar(song, bars, beats, keynote, size, rate, dice),
        "voice": _voice(song, sections, beats, keynote, size, rate, dice),
        "drums": 0.6 * drums(size / rate, rate, seed + 5, beat=float(np.diff(beats).mean()))[:size],
    }
    return {name: dice.uniform(0.5, 1) * sound for name, sound in tracks.items() if name not in without}


def _beats(pace: float, count: int, dice: np.random.Generator) -> np.ndarray:
    """When each beat falls: the pace wanders by some hundredths."""
    wander = np.clip(np.cumsum(dice.normal(0, 0.004, count)), -0.06, 0.06)
    return dice.uniform(1, 6) + np.concatenate(([0.0], np.cumsum(pace * (1 + wander))))


def _note(
    hertz: float, seconds: float, rate: int, partials: int, fades: float, dice: np.random.Generator
) -> Sound:
    note = _tone(hertz, seconds, rate, partials, dice)
    return note * np.exp(-fades * np.arange(note.size) / rate)


def _bass(song: Song, bars: Sequence[int], beats: np.ndarray, keynote: float, size: int, rate: int,
          dice: np.random.Generator) -> Sound:  # fmt: skip
    out, partials, fades = np.zeros(size), int(dice.integers(4, 14)), dice.uniform(1, 4)
    for beat in range(4 * len(bars)):
        root, _, fifth = _CHORDS[bars[beat // 4]]
        if dice.random() < 0.85:
            hertz = keynote * 2 ** (song.pitch(root if dice.random() < 0.75 else fifth) / 12)
            note = _note(hertz, min(1.2 * (beats[beat + 1] - beats[beat]), 1.5), rate, partials, fades, dice)
            _place(out, rate, beats[beat] + dice.normal(0, 0.012), 0.3 * note)
    return out


def _guitar(song: Song, bars: Sequence[int], beats: np.ndarray, keynote: float, size: int, rate: int,
            dice: np.random.Generator) -> Sound:  # fmt: skip
    out, partials, fades = np.zeros(size), int(dice.integers(4, 14)), dice.uniform(1, 4)
    step = float(dice.choice([0.5, 1, 2]))
    for at in np.arange(0, 4 * len(bars), step):
        begins = np.interp(at, np.arange(len(beats)), beats)
        for tone in _CHORDS[bars[int(at) // 4]]:
            if dice.random() < 0.9:
                hertz = keynote * 2 ** (2 + song.pitch(tone) / 12 + int(dice.random() < 0.2))
                note = _note(hertz, 1.6 * (beats[1] - beats[0]), rate, partials, fades, dice)
                _place(out, rate, begins + dice.normal(0, 0.015), 0.12 * note)
    return out


def _voice(song: Song, sections: str, beats: np.ndarray, keynote: float, size: int, rate: int,
           dice: np.random.Generator) -> Sound:  # fmt: skip
    out, partials, first = np.zeros(size), int(dice.integers(4, 14)), 0.0
    for name in sections:
        length, at, number = 8.0 * len(song.chords[name]), 0.0, 0
        while at < length:
            step, long = song.tune[name][number % 16]
            step = step if dice.random() < 0.93 else int(dice.integers(8))
            begins, ends = np.interp([first + at, first + at + long], np.arange(len(beats)), beats)
            if dice.random() < 0.9 and ends - begins > 0.15:
                pitch = song.pitch(_SCALE[step % 7]) + 12 * (step // 7)
                t = np.arange(round(dice.uniform(0.7, 1) * (ends - begins) * rate)) / rate
                hertz = keynote * 2 ** (2 + pitch / 12) * (1 + 0.006 * np.sin(2 * np.pi * 5.5 * t))
                phase = 2 * np.pi * np.cumsum(hertz) / rate
                note = sum(
                    np.sin(n * phase) / n**1.2 for n in range(1, partials) if n * hertz[0] < 0.45 * rate
                )
                shape = np.clip(np.minimum(t / 0.03, (t[-1] - t) / 0.05), 0, 1)
                _place(out, rate, begins + dice.normal(0, 0.03), 0.15 * note * shape)
            at, number = at + long, number + 1
        first += length
    return out
