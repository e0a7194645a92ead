"""A block that occurs twice in a row: what an interface hands over when it is late.

The largest and the smallest sample of every short stretch, with their neighbours, are the marks by
which a second copy is known; only where marks agree are the samples themselves compared.
"""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.marks import Agreeing
from core.capture.measures.windows import Windows
from core.values import dataclass

FEWEST = 256
"""Equal samples in a row that make a repeat."""
LOOK_BACK = 16384
"""Longest block, in frames, of which the second copy is known."""
_AROUND = 24
_USUAL_BLOCK = 4096
"""Interfaces hand over no longer blocks; a longer one could be a note that was programmed twice."""
_MOST_PAIRS = 192
"""More marks than this that agree within a group mean a periodic sound, such as a tone."""


@dataclass(frozen=True, slots=True)
class Repeat:
    """The second copy of a block on one channel, in frames of the pass."""

    channel: int
    start: int
    stop: int
    lag: int
    """Frames from the first copy to the second."""


class Repeats:
    """Finds repeats while the pass goes by."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._agreeing = Agreeing(history, LOOK_BACK)
        self._seen_to = np.zeros(history.channels, np.int64)
        """Per channel the end of the last run that was looked at, so that no place is taken twice."""
        self.found: list[Repeat] = []

    def add(self, windows: Windows) -> None:
        """Take the marks of one group and compare them with each other and with those before."""
        for channel, first, second in self._agreeing.add(windows):
            self._compare(channel, first, second)

    def _compare(self, channel: int, first: np.ndarray, second: np.ndarray) -> None:
        lag = second - first
        usable = (lag >= 32) & (lag <= LOOK_BACK) & (second >= self._seen_to[channel])
        first, second, lag = first[usable], second[usable], lag[usable]
        if not len(lag):
            return
        if len(lag) > _MOST_PAIRS:
            order = np.argsort(second)[:: len(lag) // _MOST_PAIRS + 1]
            first, second, lag = first[order], second[order], lag[order]
        which = np.full(len(lag), channel)
        one = self._history.stretches(which, first - _AROUND, 2 * _AROUND)
        two = self._history.stretches(which, second - _AROUND, 2 * _AROUND)
        equal = (one[:, _AROUND:] == two[:, _AROUND:]).all(1) | (one[:, :_AROUND] == two[:, :_AROUND]).all(1)
        lively = np.abs(np.diff(one, axis=1)).max(axis=1) > 0
        tried: list[tuple[int, int, int]] = []
        for at, step in sorted(zip(second[equal & lively], lag[equal & lively], strict=True)):
            if not any(start <= at < stop for start, stop, _ in tried) and len(tried) < 8:
                tried.append(self._run(channel, int(at), int(step)))

    def _run(self, channel: int, at: int, lag: int) -> tuple[int, int, int]:
        """The run of equal samples around `at`; kept if it is a repeat and not a tone that goes on."""
        history = self._history
        low = max(history.oldest + lag, at - 2 * LOOK_BACK, 0)
        high = min(history.written, at + 2 * LOOK_BACK)
        sound = history.stretch(channel, low - lag, high)
        equal = sound[lag:] == sound[:-lag]
        unequal = np.flatnonzero(~equal)
        cut = int(np.searchsorted(unequal, at - low))
        start = low + (int(unequal[cut - 1]) + 1 if cut else 0)
        stop = low + int(unequal[cut]) if cut < len(unequal) else high
        place, length = start - low + lag, stop - start
        if length >= FEWEST and sound[place : place + length].any() and _is_repeat(sound, place, length, lag):
            self.found.append(Repeat(channel, start, stop, lag))
            self._seen_to[channel] = stop
        return start, stop, lag

    def places(self) -> list[Repeat]:
        """All repeats, in order; parts of one that were found at different times are one."""
        merged: list[Repeat] = []
        for repeat in sorted(self.found, key=lambda one: (one.channel, one.start, one.lag)):
            last = merged[-1] if merged else None
            same = last and (last.channel, last.lag) == (repeat.channel, repeat.lag)
            if last and same and repeat.start <= last.stop:
                stop = max(last.stop, repeat.stop)
                merged[-1] = Repeat(last.channel, last.start, stop, last.lag)
            else:
                merged.append(repeat)
        return merged


def _is_repeat(sound: np.ndarray, start: int, length: int, lag: int) -> bool:
    """No repeat: a part of a block only, or a tone, which goes on equal to itself."""
    block = sound[start - lag : start].astype(np.float64)
    if length < 0.9 * lag or np.ptp(block) == 0:
        return False
    if lag > _USUAL_BLOCK and not _amid_sound(sound, start, block):
        return False
    if length < 1.9 * lag and not _periodic(block):
        return True
    return _rough(sound, start, lag)


def _amid_sound(sound: np.ndarray, start: int, block: np.ndarray) -> bool:
    """Whether sound stands on both sides of where the second copy begins; else it is a note played again."""
    least = 0.1 * block.std()
    return all(sound[at : at + 64].astype(np.float64).std() > least for at in (start - 64, start))


def _periodic(block: np.ndarray) -> bool:
    """Whether a block repeats itself inside, as whole periods of a tone do."""
    from scipy.signal import correlate

    steady = block - block.mean()
    half = len(block) // 2
    if half < 16:
        return False
    product = correlate(steady, steady[:half], "valid", method="fft")
    squares = np.concatenate(([0.0], np.cumsum(steady**2)))
    energy = squares[half : half + len(product)] - squares[: len(product)]
    likeness = product[8:] / np.sqrt(np.maximum(energy[8:] * energy[0], 1e-30))
    return bool(len(likeness) and likeness.max() > 0.99999)


def _rough(sound: np.ndarray, start: int, lag: int) -> bool:
    """Whether the sound jumps where the second copy begins, more than anywhere inside the block."""
    near = sound[max(0, start - lag) : start + 2].astype(np.float64)
    bends = np.abs(np.diff(near, 2))
    return len(bends) > 8 and bends[-3:].max() > 1.5 * bends[2:-3].max()
