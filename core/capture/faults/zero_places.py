"""Which stretches of exact zeros lie inside sound: the sound breaks off and is there again at once."""

from __future__ import annotations

import numpy as np

from core.capture.faults.zero_runs import ZeroRun, ZeroRuns
from core.capture.measures.history import History
from core.capture.measures.likeness import spectra_alike
from core.capture.measures.windows import Windows

SIDE_SECONDS = 0.06
EDGE_SECONDS, NEAR_SECONDS = 0.0005, 0.01
"""The last half millisecond of sound is held against the last ten, to see whether it was fading."""
LONG_SECONDS = 0.04
"""Zeros of this length could be a rest in a track that was made without tape."""
QUIETEST = 10 ** (-60 / 20)
_EDGE_DROP, _FADED = 10 ** (-10 / 20), 10 ** (-20 / 20)
"""A sound that breaks off is still there at its end, if not between two waves; one that fades is not."""
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
        self._soft = np.zeros(history.channels, np.int64)
        """Per channel the runs at which the sound had faded or rises."""
        self._found: list[tuple[ZeroRun, bool, bool]] = []

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        fresh = self._runs.add(windows)
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
        for run in ready:
            self._judge(run)

    def finish(self) -> None:
        """Judge the runs near the end of the pass."""
        for run in self._waiting:
            self._judge(run)
        self._waiting = []

    def places(self) -> list[ZeroRun]:
        """All runs inside sound.

        Tape hisses even in rests, so on its tracks every run counts. A track that rests in digital silence
        was made without tape: there the sound must break off hard, and long runs are rests.
        """
        rate = self._history.sample_rate
        kept = []
        for run, hard, alike in self._found:
            share = self._share[run.channel] / max(1, self._history.written)
            rests = self._long[run.channel] >= _RESTS and share >= _REST_SHARE
            digital = rests or self._soft[run.channel] >= _RESTS
            long = run.stop - run.start >= LONG_SECONDS * rate
            if not digital or (hard and (not long or (alike and not rests))):
                kept.append(run)
        return kept

    def _judge(self, run: ZeroRun) -> None:
        """Keep a run with sound on both sides, with how the sound breaks off and whether it is alike."""
        rate = self._history.sample_rate
        side, near, edge = (int(s * rate) for s in (SIDE_SECONDS, NEAR_SECONDS, EDGE_SECONDS))
        unit = self._history.scale.unit
        before = self._history.stretch(run.channel, run.start - side, run.start) * unit
        after = self._history.stretch(run.channel, run.stop, run.stop + side) * unit
        one, two = _rms(before), _rms(after)
        if min(one, two) < QUIETEST:
            return
        ends = [_still_there(before[-near:], edge), _still_there(after[::-1][-near:], edge)]
        hard = min(ends) >= _EDGE_DROP
        self._soft[run.channel] += min(ends) < _FADED
        alike = abs(20 * np.log10(one / two)) < 6 and spectra_alike(before, after) > 0.75
        self._found.append((run, hard, alike))


def _rms(sound: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.square(sound, dtype=np.float64)))) if len(sound) else 0.0


def _still_there(sound: np.ndarray, edge: int) -> float:
    """Part of a sound that is there at its very end: by its level or, near a zero crossing, by its steps."""
    return max(_share(sound, edge), _share(np.diff(sound), edge))


def _share(sound: np.ndarray, edge: int) -> float:
    whole = _rms(sound)
    return _rms(sound[-edge:]) / whole if whole > 0 else 0.0
