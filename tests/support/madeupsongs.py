"""Made-up songs for laying in time: tracks with known maps, equalised, in noise, opposed, and other takes.

Everything is computed from a seed. What is warped is read by SciPy's splines of the fifth order, which share
nothing with the reader under test; maps are given as functions of time.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import scipy.ndimage
import scipy.signal

Sound = np.ndarray
Map = Callable[[np.ndarray], np.ndarray]


def _place(out: Sound, rate: int, at: float, note: Sound) -> None:
    start = round(at * rate)
    if 0 <= start < out.size:
        note = note[: out.size - start]
        out[start : start + note.size] += note


def drums(seconds: float, rate: int, seed: int, beat: float = 0.5, jitter: float = 0.006) -> Sound:
    """Kick, snare and hat to a click of `beat` seconds, each hit late or early by some milliseconds."""
    rng, out = np.random.default_rng(seed), np.zeros(round(seconds * rate))
    t = np.arange(round(0.35 * rate)) / rate
    high = scipy.signal.butter(2, 5000 / (rate / 2), "high", output="sos") if rate > 12000 else None
    for number in range(int(seconds / beat * 2)):
        at = number * beat / 2 + rng.normal(0, jitter) + 0.02
        level = rng.uniform(0.5, 1.0)
        if number % 4 == 0:
            hertz = 50 + 50 * np.exp(-t * rng.uniform(25, 35))
            _place(out, rate, at, 0.6 * level * np.exp(-t * 11) * np.sin(2 * np.pi * np.cumsum(hertz) / rate))
        if number % 4 == 2:
            noise = rng.standard_normal(t.size) * np.exp(-t * 18)
            _place(out, rate, at, 0.3 * level * (noise + np.sin(2 * np.pi * 185 * t) * np.exp(-t * 20)))
        noise = rng.standard_normal(t.size) * np.exp(-t * 60)
        hat = scipy.signal.sosfilt(high, noise) if high is not None else noise
        _place(out, rate, at + rng.normal(0, 0.002), 0.12 * level * hat)
    return out


def _tone(hertz: float, seconds: float, rate: int, partials: int, rng: np.random.Generator) -> Sound:
    t = np.arange(round(seconds * rate)) / rate
    out = np.zeros(t.size)
    for n in range(1, partials + 1):
        if n * hertz < rate * 0.45:
            turns = n * hertz * rng.uniform(0.9998, 1.0002) * t + rng.uniform(0, 6.28) / (2 * np.pi)
            turns -= np.floor(turns)  # so that single precision is enough for the sine, which is far faster
            wave = np.sin(np.float32(2 * np.pi) * turns.astype(np.float32))
            out += wave / np.float32(n ** rng.uniform(0.8, 1.4))
    return out


def plucked(
    seconds: float, rate: int, seed: int, low: float = 55.0, every: float = 0.5, voices: int = 1
) -> Sound:
    """Plucked notes or chords of a bass, a guitar, a piano."""
    rng, out = np.random.default_rng(seed), np.zeros(round(seconds * rate))
    at = 0.1
    while at < seconds:
        length = every * rng.choice([1, 1, 1.5, 2, 4])
        t = np.arange(round(min(length * 1.5, 3) * rate)) / rate
        for _ in range(voices):
            hertz = low * 2 ** (rng.choice([0, 2, 3, 5, 7, 8, 10, 12, 14, 15, 19]) / 12)
            note = _tone(hertz, t.size / rate, rate, 12, rng)[: t.size]
            _place(out, rate, at + rng.normal(0, 0.008), 0.2 * rng.uniform(0.4, 1) * note * np.exp(-t * 2.5))
        at += length
    return out


def voice(seconds: float, rate: int, seed: int) -> Sound:
    """One voice: sung notes with vibrato, glides between, breaths, and rests of up to four seconds."""
    rng = np.random.default_rng(seed)
    n = round(seconds * rate)
    pitch, level = np.zeros(n), np.zeros(n)
    at, hertz = 0.3, 220.0
    while at < seconds:
        for _ in range(rng.integers(3, 9)):
            length = rng.uniform(0.25, 1.4)
            hertz = float(np.clip(hertz * 2 ** (rng.integers(-4, 5) / 12), 140, 520))
            a, b = round(at * rate), min(n, round((at + length) * rate))
            pitch[a:b], level[a:b] = hertz, rng.uniform(0.5, 1)
            at += length
        at += rng.uniform(0.5, 4.0)
    slow = round(0.03 * rate)
    pitch = scipy.ndimage.uniform_filter1d(np.where(pitch > 0, pitch, 200.0), slow)
    level = scipy.ndimage.uniform_filter1d(level, slow)
    t = np.arange(n) / rate
    pitch = pitch * (1 + 0.008 * np.sin(2 * np.pi * 5.6 * t + np.sin(0.3 * t)))
    phase = 2 * np.pi * np.cumsum(pitch) / rate
    out = np.zeros(n)
    for k in range(1, 12):
        form = (
            np.exp(-(((k * pitch - 600) / 500) ** 2))
            + 0.5 * np.exp(-(((k * pitch - 1500) / 600) ** 2))
            + 0.05
        )
        out += form * np.sin(k * phase) * (k * pitch < rate * 0.45)
    breath = rng.standard_normal(n) * 0.01
    return 0.25 * level * (out + breath)


def organ(seconds: float, rate: int, seed: int) -> Sound:
    """Held chords of an organ, changing every two to six seconds."""
    rng, out = np.random.default_rng(seed), np.zeros(round(seconds * rate))
    at = 0.0
    while at < seconds:
        length = rng.uniform(2, 6)
        t = np.arange(round((length + 0.1) * rate)) / rate
        shape = np.minimum(1, t / 0.03) * np.clip((length + 0.1 - t) / 0.1, 0, 1)
        for step in rng.choice([0, 3, 4, 7, 9, 12, 16], 3, replace=False):
            _place(
                out,
                rate,
                at,
                0.1 * shape * _tone(130.81 * 2 ** (step / 12), t.size / rate, rate, 8, rng)[: t.size],
            )
        at += length
    return out


def band(seconds: float, rate: int, seed: int) -> dict[str, Sound]:
    """Six tracks of one take."""
    return {
        "drums": drums(seconds, rate, seed),
        "bass": plucked(seconds, rate, seed + 1, 45, 0.5),
        "guitar": plucked(seconds, rate, seed + 2, 130, 0.25, 3),
        "piano": plucked(seconds, rate, seed + 3, 196, 0.5, 3),
        "voice": voice(seconds, rate, seed + 4),
        "organ": organ(seconds, rate, seed + 5),
    }


def mixed(tracks: dict[str, Sound], seed: int) -> Sound:
    """A balance of the tracks."""
    rng = np.random.default_rng(seed)
    return sum(rng.uniform(0.5, 1.0) * track for track in tracks.values())


def equalised(sound: Sound, rate: int, seed: int, decibels: float = 6.0) -> Sound:
    """Three bells of a desk, up to so many decibels up or down (minimum phase)."""
    rng = np.random.default_rng(seed)
    for hertz in (200.0, 800.0, 2400.0):
        gain = rng.uniform(-decibels, decibels)
        a, w = 10 ** (gain / 40), 2 * np.pi * hertz * rng.uniform(0.7, 1.4) / rate
        alpha = np.sin(w) / (2 * 0.9)
        b = np.array([1 + alpha * a, -2 * np.cos(w), 1 - alpha * a])
        c = np.array([1 + alpha / a, -2 * np.cos(w), 1 - alpha / a])
        sound = scipy.signal.lfilter(b / c[0], c / c[0], sound)
    return sound


def in_noise(sound: Sound, rate: int, seed: int, snr_db: float) -> Sound:
    """With white noise that many decibels below the sound between 100 and 3000 Hz."""
    rng = np.random.default_rng(seed)
    noise = rng.standard_normal(sound.size)
    sos = scipy.signal.butter(4, [100, min(3000, rate * 0.45)], "band", fs=rate, output="sos")
    held, heard = (float(np.std(scipy.signal.sosfilt(sos, one))) for one in (sound, noise))
    return sound + noise * (held / max(heard, 1e-12)) * 10 ** (-snr_db / 20)


def played(sound: Sound, rate: int, song: Map, seconds: float) -> Sound:
    """A capture of `seconds`: at its second u stands what the song holds at second song(u)."""
    size = round(seconds * rate)
    coefficients = scipy.ndimage.spline_filter(sound, 5, mode="constant")
    out = np.empty(size)
    for low in range(0, size, 1 << 20):
        at = np.arange(low, min(size, low + (1 << 20))) / rate
        out[low : low + at.size] = scipy.ndimage.map_coordinates(
            coefficients, [song(at) * rate], order=5, mode="constant", prefilter=False
        )
    return out


def swaying(start: float, rate: float, sway: float, period: float, phase: float) -> Map:
    """song(u) = start + rate x u, the speed swinging by `sway` (a share) in `period` seconds."""
    deep = sway * period / (2 * np.pi)
    return lambda u: start + rate * (u + deep * (np.sin(2 * np.pi * u / period + phase) - np.sin(phase)))
