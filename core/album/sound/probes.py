"""Places that features take for right, tried on the waveform: a rhythm has many of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.album.sound.correlated import correlate
from core.album.sound.needle_lines import NEEDLE_SECONDS, Found, Line
from core.album.sound.spectra import WORK_HZ, Floats, Never, spectra

_PROBES = 6
_REACH = 1000
"""Samples at 8 kHz: a needle's own speed leaves this much open at its ends."""
_LIKE = 6.0
"""Times chance at which a probe counts."""


def probed_lines(
    here: Floats, there: Floats, found: Sequence[Found], ask: Never = lambda: None
) -> list[Line]:
    """Lines through needles of which at least half the probes sound alike, the best first."""
    lines: list[Line] = []
    for one in sorted(found, key=lambda one: -one.stands):
        ask()
        line = _probed(here, there, one)
        if line is not None and not any(_same(line, old, one.here) for old in lines):
            lines.append(line)
    return sorted(lines, key=lambda line: -line.score)


def _same(one: Line, two: Line, at: float) -> bool:
    return abs(one.at(at) - two.at(at)) < 0.1


def _probed(here: Floats, there: Floats, one: Found) -> Line | None:
    """The line through one needle, its rate by the probes; none where these are not alike."""
    at, off, stands = [], [], []
    for step in np.linspace(1, NEEDLE_SECONDS - 2, _PROBES):
        second = one.here + step
        t = np.arange(WORK_HZ) / WORK_HZ - 0.5
        a = _at(here, second + t)
        b = _at(there, one.there + one.rate * (step + t))
        got = correlate(spectra(a, 1), spectra(b, 1), _REACH)
        row = np.abs(got.values[0])
        best, chance = int(row.argmax()), float(row.std())
        if chance > 0 and row[best] > _LIKE * chance:
            at.append(step)
            off.append((best - _REACH) / WORK_HZ)
            stands.append(float(row[best]) / chance)
    if len(at) < _PROBES // 2:
        return None
    slope, start = _robust_line(np.array(at), np.array(off))
    fits = np.abs(np.array(off) - start - slope * np.array(at)) < 0.004
    if fits.sum() < _PROBES // 2:
        return None
    rate = one.rate * (1 + slope)
    score = float(np.array(stands)[fits].sum())
    return Line(one.there + one.rate * start - rate * one.here, rate, 1, 1, score)


def _robust_line(at: np.ndarray, off: np.ndarray) -> tuple[float, float]:
    """Slope and start of the line through most points: medians (Theil and Sen)."""
    pairs = [(i, j) for i in range(len(at)) for j in range(i)]
    slope = float(np.median([(off[i] - off[j]) / (at[i] - at[j]) for i, j in pairs]))
    return slope, float(np.median(off - slope * at))


def _at(sound: Floats, seconds: np.ndarray) -> Floats:
    places = seconds * WORK_HZ
    low = max(0, int(places[0]) - 1)
    part = sound[low : max(low, int(places[-1]) + 2)]
    if not len(part):
        return np.zeros(len(seconds), np.float32)
    return np.asarray(np.interp(places - low, np.arange(len(part)), part, 0, 0), np.float32)
