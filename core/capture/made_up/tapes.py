"""Six made-up tapes as they were captured, and mixes made of them.

Bell Buoy is a song on three tapes and in an old mix: K-101 was played to first and carries timecode, K-102
has it bounced with the code copied, K-103 has that bounced again and no code. Each ran at a speed of its own
and swayed; ``MAPS`` tells how. The mix K-104 has one side opposed. K-105 is another take to the same click,
so it is the same sound as nothing. K-106 holds three short pieces, one after another.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from core.capture.made_up.drums import SNARE_SECONDS, drums
from core.capture.made_up.notes import held, played, plucked, sung
from core.capture.made_up.wav import RATE, Sound, write_wav
from core.capture.timecode.encode import RISE_SECONDS, edges_of, square, word_bits
from core.capture.timecode.labels import RATES
from core.capture.timecode.word import BITS
from core.values import dataclass

Seconds = NDArray[np.float64]
SONG_SECONDS = 27.0
HISS = 10 ** (-62 / 20)
FADED = ("K-102", 3, 14.2, 0.03)
"""A dropout on the organ: tape, track, seconds of its capture from where on, and how long."""
PIECES = {"S-12": (2.0, 8.0), "S-13": (12.0, 7.0), "S-14": (21.0, 8.0)}
"""Where the short pieces begin on K-106, and how long they are, in seconds of the capture."""
_FIRST_LABEL = "01:00:10:00"


@dataclass(frozen=True, slots=True)
class TapeRun:
    """How a tape ran: at second u of its capture the song is at ``start + speed (u + sway)``."""

    start: float
    speed: float
    sway: float
    """The share by which the speed swings."""
    period: float
    seconds: float
    """How long the capture is."""

    def song(self, at: Seconds) -> Seconds:
        """The song's seconds at these of the capture; they rise."""
        deep = self.sway * self.period / (2 * np.pi)
        return self.start + self.speed * (at + deep * np.sin(2 * np.pi * at / self.period))


MAPS: Mapping[str, TapeRun] = {
    "K-101": TapeRun(-2.0, 1.0, 0.0004, 11.0, 30.0),
    "K-102": TapeRun(-1.5, 1.003, 0.0008, 9.0, 30.0),
    "K-103": TapeRun(-2.5, 0.996, 0.0008, 13.0, 30.5),
    "K-104": TapeRun(-1.0, 0.991, 0.0006, 10.0, 29.5),
    "K-105": TapeRun(-1.0, 1.0, 0.0005, 12.0, 28.0),
}
FILES = {
    "K-101": "K-101 Bell Buoy.wav",
    "K-102": "K-102 Bell Buoy, voice and organ.wav",
    "K-103": "K-103 Bell Buoy, doubles.wav",
    "K-104": "K-104 Bell Buoy, old mix.wav",
    "K-105": "K-105 another evening.wav",
    "K-106": "K-106 three short pieces.wav",
}
MIXES = {
    "S-11": ("Bell Buoy mix 1.wav", "Bell Buoy mix 2.wav"),
    "S-12": ("Halyards rough.wav",),
    "S-13": ("Slip mix 1.wav",),
    "S-14": ("Lee Shore mix 1.wav",),
}
"""The mixes of each song by name; those of Bell Buoy have not come home yet."""


class Tapes:
    """Everything that is on them, from second 0 of the song on; computed once."""

    def __init__(self) -> None:
        long = SONG_SECONDS
        self.band = {name: played(notes, long) for name, notes in (
            ("drums", drums(long, 1)), ("bass", plucked(long, 2, 55, 0.5, 1)),
            ("guitar", plucked(long, 3, 147, 0.25, 2)), ("voice", sung(long, 4)), ("organ", held(long, 5)),
            ("double", sung(long, 14, 0.16)), ("whistle", sung(long, 6, 0.09, 4.0)),
            ("hands", [one for one in drums(long, 7) if one.seconds == SNARE_SECONDS]),
        )}  # fmt: skip

    def write(self, folder: Path) -> dict[str, Path]:
        """Writes all six captures into a folder that is there; files by tape."""
        makers: dict[str, Callable[[], list[Sound]]] = {
            "K-101": lambda: self._tracks("K-101", ("drums",), ("bass",), ("guitar",), None),
            "K-102": lambda: self._tracks("K-102", ("drums", "bass", "guitar"), ("voice",), ("organ",), None),
            "K-103": lambda: self._tracks(
                "K-103", ("drums", "bass", "guitar", "voice", "organ"), ("double",), ("whistle",), ("hands",)
            ),
            "K-104": self._old_mix, "K-105": self._other_take, "K-106": self._pieces,
        }  # fmt: skip
        written = {}
        for number, (reel, make) in enumerate(makers.items()):
            tracks = _in_hiss(make(), 1981 + number)
            written[reel] = write_wav(folder / FILES[reel], tracks)
        return written

    def write_mixes(self, folder: Path) -> dict[str, list[Path]]:
        """Writes the mixes into a folder that is there; files by song, in the order in which they came."""
        out: dict[str, list[Path]] = {}
        for song, names in MIXES.items():
            for number, name in enumerate(names):
                sound = self._new_mix(number) if song == "S-11" else _piece(song, 1.0)
                out.setdefault(song, []).append(write_wav(folder / name, sound))
        return out

    def _tracks(self, reel: str, *tracks: tuple[str, ...] | None) -> list[Sound]:
        """One track for every row of instruments, None being timecode."""
        run = MAPS[reel]
        song = run.song(_seconds(run.seconds))
        out = [_code(song) if names is None else _read(self._together(names), song) for names in tracks]
        if reel == FADED[0]:
            _fade(out[FADED[1] - 1], *FADED[2:])
        return out

    def _together(self, names: tuple[str, ...]) -> Sound:
        share = 1 if len(names) == 1 else 0.55
        return np.asarray(share * np.sum([self.band[name] for name in names], axis=0), np.float32)

    def _stereo(self, song: Seconds, shares: Mapping[str, tuple[float, float]]) -> list[Sound]:
        out = np.zeros((2, self.band["drums"].size), np.float32)
        for name, sides in shares.items():
            out += np.array(sides, np.float32)[:, None] * self.band[name]
        return [_read(side, song) for side in out]

    def _old_mix(self) -> list[Sound]:
        run = MAPS["K-104"]
        left, right = self._stereo(run.song(_seconds(run.seconds)), _SPREAD)
        return [left, -right]

    def _other_take(self) -> list[Sound]:
        song = MAPS["K-105"].song(_seconds(MAPS["K-105"].seconds))
        notes = (drums(SONG_SECONDS, 101), plucked(SONG_SECONDS, 103, 147, 0.25, 2))
        return [_read(played(some, SONG_SECONDS), song) for some in notes]

    def _new_mix(self, number: int) -> list[Sound]:
        shares = {name: (left * (0.8 + 0.1 * number), right * 0.9) for name, (left, right) in _SPREAD.items()}
        return self._stereo(_seconds(SONG_SECONDS + 1.5) - 0.5, shares)

    def _pieces(self) -> list[Sound]:
        end = max(start + seconds for start, seconds in PIECES.values())
        out = np.zeros((2, round((end + 1.5) * RATE)), np.float32)
        for song, (start, _) in PIECES.items():
            for side, sound in enumerate(_piece(song, 0.0)):
                first = round(start * RATE)
                out[side, first : first + sound.size] += sound
        return list(out)


def _piece(song: str, around: float) -> list[Sound]:
    """One short piece, with so many seconds of nothing before and after it."""
    seconds = PIECES[song][1]
    at, seed = _seconds(seconds + 2 * around) - around, 20 + 10 * list(PIECES).index(song)
    kept = np.clip(np.minimum(at, seconds - at) * 20, 0, 1).astype(np.float32)
    left, right, voice = (
        _read(played(notes, seconds + 1), at)
        for notes in (
            plucked(seconds, seed, 110, 0.5, 2),
            held(seconds + 2, seed + 1),
            sung(seconds + 2, seed + 2, 0.1),
        )
    )
    return [kept * (left + voice), kept * (right + voice)]


def _read(sound: Sound, song: Seconds) -> Sound:
    """What a tape gives whose samples lie at these seconds of the song; nothing before it and after it."""
    at = np.clip(song * RATE, -1, sound.size) + 1
    before = at.astype(np.int32)
    share = (at - before).astype(np.float32)
    padded = np.concatenate([[0], sound, [0, 0]]).astype(np.float32)
    return padded[before] * (1 - share) + padded[before + 1] * share


_SPREAD: Mapping[str, tuple[float, float]] = {
    "drums": (0.5, 0.5), "bass": (0.5, 0.5), "guitar": (0.5, 0.25), "voice": (0.5, 0.5), "organ": (0.25, 0.5),
    "double": (0.4, 0.3), "whistle": (0.3, 0.4), "hands": (0.4, 0.3),
}  # fmt: skip


def _seconds(long: float) -> Seconds:
    return np.arange(round(long * RATE)) / RATE


def _code(song: Seconds) -> Sound:
    """Timecode from the song's zero to its end, bent as the tape ran."""
    rate = RATES["25"]
    frames = int(SONG_SECONDS * 25)
    edges = edges_of(word_bits(_FIRST_LABEL, frames, rate)) / (25 * BITS)
    places = np.interp(edges, song, np.arange(song.size))
    there = places < song.size - 1
    sound = square(places[there], song.size, RISE_SECONDS * RATE, 0.35)
    sound[: max(0, int(places[0]) - 10)] = 0
    sound[min(song.size, int(places[there][-1]) + 10) :] = 0
    return sound


def _fade(track: Sound, start: float, seconds: float) -> None:
    first, frames, edge = round(start * RATE), round(seconds * RATE), RATE // 500
    dip = np.full(frames, 0.08, np.float32)
    dip[:edge] = np.linspace(1, 0.08, edge)
    dip[-edge:] = np.linspace(0.08, 1, edge)
    track[first : first + frames] *= dip


def _in_hiss(tracks: list[Sound], seed: int) -> list[Sound]:
    hiss = np.random.default_rng(seed)
    return [track + np.float32(HISS) * hiss.standard_normal(track.size, np.float32) for track in tracks]
