"""Which stretches of exact zeros lie inside sound: the sound breaks off and is there again at once."""

from __future__ import annotations

import numpy as np

from core.capture.continuity import spectra_alike
from core.capture.history import History
from core.capture.windows import Zeros
from core.capture.zero_runs import ZeroRun, ZeroRuns

EDGE_SECONDS = 0.003
"""Sound right before and right after the zeros that must be there."""
SIDE_SECONDS = 0.06
LONG_SECONDS = 0.06
"""Zeros of this length could be a rest in a gated track, and the sound must be alike on both sides."""
QUIETEST = 10 ** (-60 / 20)
_EDGE_DROP = 10 ** (-14 / 20)
"""The sound at the edge may be so much weaker than the sound around, or it was fading already."""


class ZeroPlaces:
    """Takes the runs of zeros and keeps those inside sound, once what follows them is there."""

    def __init__(self, history: History, longest_seconds: float) -> None:
        self._history = history
        self._runs = ZeroRuns(history, longest_seconds)
        self._waiting: list[ZeroRun] = []
        self.found: list[ZeroRun] = []

    def add(self, zero: Zeros, start: int) -> None:
        """Take one chunk in: where it is zero, and the frame at which it starts."""
        self._waiting += self._runs.add(zero, start)
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

    def _inside_sound(self, run: ZeroRun) -> bool:
        rate = self._history.sample_rate
        side, edge = int(SIDE_SECONDS * rate), int(EDGE_SECONDS * rate)
        unit = self._history.scale.unit
        before = self._history.stretch(run.channel, run.start - side, run.start) * unit
        after = self._history.stretch(run.channel, run.stop, run.stop + side) * unit
        around = min(_rms(before), _rms(after))
        if around < QUIETEST:
            return False
        if not _breaks_off(before, edge) or not _breaks_off(after[::-1], edge):
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
