"""Which stretches of exact zeros lie inside sound: the sound breaks off and is there again at once."""

from __future__ import annotations

import numpy as np

from core.capture.continuity import spectra_alike
from core.capture.history import History
from core.capture.windows import Zeros
from core.capture.zero_runs import ZeroRun, ZeroRuns

SIDE_SECONDS = 0.06
EDGE_SECONDS, NEAR_SECONDS = 0.0005, 0.01
"""The last half millisecond of sound is held against the last ten, to see whether it was fading."""
LONG_SECONDS = 0.04
"""Zeros of this length could be a rest in a track that was made without tape."""
QUIETEST = 10 ** (-60 / 20)
_EDGE_DROP = 10 ** (-10 / 20)
_RESTS, _REST_SHARE = 3, 0.03
"""So many long runs that fill such a share of the pass are rests and no faults."""


class ZeroPlaces:
    """Takes the runs of zeros and keeps those inside sound, once what follows them is there."""

    def __init__(self, history: History, longest_seconds: float) -> None:
        self._history = history
        self._runs = ZeroRuns(history, longest_seconds)
        self._waiting: list[ZeroRun] = []
        self._long = np.zeros(history.channels, np.int64)
        self._share = np.zeros(history.channels, np.int64)
        self.found: list[ZeroRun] = []

    def add(self, zero: Zeros, start: int) -> None:
        """Take one chunk in: where it is zero, and the frame at which it starts."""
        fresh = self._runs.add(zero, start)
        self._waiting += fresh
        for run in fresh:
            length = run.stop - run.start
            self._share[run.channel] += length
            self._long[run.channel] += length >= LONG_SECONDS * self._history.sample_rate
        if not self._waiting:
            return
        side = int(SIDE_SECONDS * self._history.sample_rate)
        ready = [run for run in self._waiting if run.stop + side <= self._history.written]
        self._waiting = [run for run in self._waiting if run.stop + side > self._history.written]
        self.found += [run for run in ready if self._inside_sound(run)]

    def finish(self) -> None:
        """Judge the runs near the end of the pass."""
        self.found += [run for run in self._waiting if self._inside_sound(run)]
        self._waiting = []

    def places(self) -> list[ZeroRun]:
        """All runs inside sound; long ones are left out where the track rests in digital silence."""
        rate, kept = self._history.sample_rate, []
        for run in self.found:
            length = run.stop - run.start
            long, share = self._long[run.channel], self._share[run.channel] / max(1, self._history.written)
            if length < LONG_SECONDS * rate or long < _RESTS or share < _REST_SHARE:
                kept.append(run)
        return kept

    def _inside_sound(self, run: ZeroRun) -> bool:
        rate = self._history.sample_rate
        side, near, edge = (int(s * rate) for s in (SIDE_SECONDS, NEAR_SECONDS, EDGE_SECONDS))
        unit = self._history.scale.unit
        before = self._history.stretch(run.channel, run.start - side, run.start) * unit
        after = self._history.stretch(run.channel, run.stop, run.stop + side) * unit
        around = min(_rms(before), _rms(after))
        if around < QUIETEST:
            return False
        if not _breaks_off(before[-near:], edge) or not _breaks_off(after[::-1][-near:], edge):
            return False
        if run.stop - run.start < LONG_SECONDS * rate:
            return True
        return abs(20 * np.log10(_rms(before) / _rms(after))) < 6 and spectra_alike(before, after) > 0.75


def _rms(sound: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.square(sound, dtype=np.float64)))) if len(sound) else 0.0


def _breaks_off(sound: np.ndarray, edge: int) -> bool:
    """Whether a sound is still there at its very end: by its level or, near a zero crossing, by its steps."""
    steps = np.diff(sound)
    return max(_share(sound, edge), _share(steps, edge)) >= _EDGE_DROP


def _share(sound: np.ndarray, edge: int) -> float:
    whole = _rms(sound)
    return _rms(sound[-edge:]) / whole if whole > 0 else 0.0
