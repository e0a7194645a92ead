"""A made-up capture for the made-up shelf: a few seconds of eight tracks, the same every time.

Everything in it is computed: drums, bass, chords, a voice, timecode, over the hiss of tape. It has a dropout
and a short run of zeros, which a check should find, and nothing that would make it fail.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from core.capture.made_up.wav import RATE, Sound, write_wav
from core.capture.timecode.encode import timecode
from core.capture.timecode.labels import RATES

SECONDS = 9.6
DROPOUT = (4, 4.2, 0.045)
"""Track, where it begins and how long it is, in seconds."""
ZEROS = (6, 6.9, 0.006)
HISS = 10 ** (-62 / 20)
_FIRST_LABEL = "01:02:00:00"


def made_up_capture(path: Path) -> Path:
    """Writes the capture as 24-bit WAV and names it; the folder must be there."""
    at = np.arange(round(SECONDS * RATE)) / RATE
    hiss = np.random.default_rng(1981)
    tracks = [
        _kick(at),
        _snare(at, hiss),
        _bass(at),
        _chord(at, 220.0),
        _chord(at, 293.66),
        _voice(at),
        _hands(at),
    ]
    tracks = [track + HISS * hiss.standard_normal(at.size, np.float32) for track in tracks]
    tracks.append(_code(at.size))
    _drop_out(tracks)
    return write_wav(path, tracks)


def _drop_out(tracks: list[Sound]) -> None:
    track, start, seconds = DROPOUT
    first, frames = round(start * RATE), round(seconds * RATE)
    edge = RATE // 500
    dip = np.ones(frames, np.float32)
    dip[:edge] = np.linspace(1, 0.08, edge)
    dip[edge:-edge] = 0.08
    dip[-edge:] = np.linspace(0.08, 1, edge)
    tracks[track - 1][first : first + frames] *= dip
    track, start, seconds = ZEROS
    first = round(start * RATE)
    tracks[track - 1][first : first + round(seconds * RATE)] = 0


def _beats(at: NDArray[np.float64], first: float, every: float) -> NDArray[np.float64]:
    """Seconds since the newest beat; far away before the first one."""
    since = (at - first) % every
    return np.where(at < first, 9.0, since)


def _kick(at: NDArray[np.float64]) -> Sound:
    since = _beats(at, 0.5, 1.0)
    return (0.5 * np.exp(-9 * since) * np.sin(2 * np.pi * (52 + 40 * np.exp(-30 * since)) * since)).astype(
        np.float32
    )


def _snare(at: NDArray[np.float64], hiss: np.random.Generator) -> Sound:
    since = _beats(at, 1.0, 1.0)
    noise = hiss.standard_normal(at.size, np.float32)
    body = np.sin(2 * np.pi * 190 * since)
    return (0.25 * np.exp(-16 * since) * (0.5 * noise + 0.5 * body)).astype(np.float32)


def _bass(at: NDArray[np.float64]) -> Sound:
    notes = np.array([55.0, 73.42, 82.41, 55.0])
    pitch = notes[(at // 2.4).astype(int) % 4]
    return _tone(np.cumsum(pitch) / RATE, 0.28, (1.0, 0.4, 0.15)) * _fade(at, 0.4)


def _chord(at: NDArray[np.float64], root: float) -> Sound:
    out = np.zeros(at.size, np.float32)
    for ratio, sway in ((1.0, 0.1), (1.2599, 1.7), (1.4983, 3.1)):
        cycles = np.cumsum(root * ratio * (1 + 0.002 * np.sin(2 * np.pi * 5 * at + sway))) / RATE
        out += _tone(cycles, 0.09, (1.0, 0.4))
    return out * _fade(at, 0.3)


def _voice(at: NDArray[np.float64]) -> Sound:
    cycles = np.cumsum(330 * (1 + 0.006 * np.sin(2 * np.pi * 5.5 * at))) / RATE
    return _tone(cycles, 0.2, (1.0, 0.6, 0.35, 0.2)) * _fade(at, 2.4)


def _hands(at: NDArray[np.float64]) -> Sound:
    since = _beats(at, 1.25, 0.5)
    return (0.12 * np.exp(-40 * since) * np.sin(2 * np.pi * 1400 * since)).astype(np.float32)


def _tone(cycles: NDArray[np.float64], level: float, partials: tuple[float, ...]) -> Sound:
    sound = sum(part * np.sin(2 * np.pi * (n + 1) * cycles) for n, part in enumerate(partials))
    return (level * np.asarray(sound)).astype(np.float32)


def _fade(at: NDArray[np.float64], begins: float) -> Sound:
    """In over a tenth of a second, and out at the end of the tape."""
    return np.clip(np.minimum((at - begins) * 10, (SECONDS - 0.2 - at) * 4), 0, 1).astype(np.float32)


def _code(samples: int) -> Sound:
    rate = RATES["25"]
    out = np.zeros(samples, np.float32)
    lead = 0.24 * RATE
    code = timecode(_FIRST_LABEL, 228, rate, RATE, amplitude=0.35, lead=lead)
    out[: code.size] = code
    return out
