"""Clicks of single tracks: bends of the waveform that stand out for less than a few milliseconds.

The second difference of the samples leaves the highest frequencies: a click is loud there, and music weak.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from core.capture.measures.history import WINDOWS_A_GROUP, History
from core.capture.measures.loud.decibels import decibels
from core.capture.measures.sliding import highest_along
from core.capture.measures.windows import Windows, bend_frames
from core.values import dataclass

_SIDE, _CLEAR = 4, 2
"""Windows of 2.7 ms on either side that one is held against, and how far they are away."""
_REACH = _SIDE + _CLEAR - 1
LOOK_DB = 6.0
"""What stands out so far is looked at in its samples."""
CLICK_DB = 18.0
"""A click's peak stands so far above the highest bend of the sound on either side."""
LONGEST_SECONDS = 0.002
MOST_A_GROUP = 48
"""Places of a group that are looked at, over all tracks, the clearest first."""
_SAME_FRAMES = 256
"""Clicks of one track that begin so near to each other are one."""
_FAINT = 1e-12


@dataclass(frozen=True, slots=True)
class Click:
    """One click."""

    channel: int
    start: int
    stop: int
    """Frames of the pass."""
    above_db: float
    """Its sharpest bend over the sharpest on either side."""
    peak: float
    """How far it leaves the sound about it, full scale 1."""
    jumps: float
    """Level of the waveform after it less before it, full scale 1."""


class Impulses:
    """Takes group after group; the result does not depend on how the pass was cut into blocks."""

    def __init__(self, history: History) -> None:
        self._history = history
        self._kept = np.full((history.channels, 2 * _REACH), 10 * np.log10(_FAINT), np.float32)
        self._apart = bend_frames(history)
        self._done = 0
        self._starts: list[list[int]] = [[] for _ in range(history.channels)]
        """By channel where its last clicks begin."""
        self.found: list[Click] = []

    def add(self, windows: Windows) -> None:
        """Take one group in."""
        count = -(-windows.chunk.frames // self._history.window)
        high = windows.bends[:, :count]
        level = decibels(np.maximum(high * (self._history.scale.unit**2 / self._history.window), _FAINT))
        level = np.concatenate((self._kept, level.astype(np.float32)), axis=1)
        if level.shape[1] > 2 * _REACH:
            self._look(level)
        self._kept = level[:, -2 * _REACH :]
        self._done += count

    def _look(self, level: np.ndarray) -> None:
        count = level.shape[1] - 2 * _REACH
        highest = highest_along(level, _SIDE)
        here = level[:, _REACH : _REACH + count]
        beside = np.maximum(highest[:, :count], highest[:, _REACH + _CLEAR : _REACH + _CLEAR + count])
        above = here - beside
        rows, at = np.nonzero(above >= LOOK_DB)
        if not len(rows):
            return
        order = np.argsort(-above[rows, at], kind="stable")[:MOST_A_GROUP]
        first = self._done - _REACH
        use = order[first + at[order] >= _REACH]
        use = use[np.lexsort((at[use], rows[use]))]
        for click in self._look_closely(rows[use], first + at[use]):
            mine = self._starts[click.channel]
            if not any(abs(click.start - start) < _SAME_FRAMES for start in mine):
                self.found.append(click)
                mine[:] = [*mine[-2:], click.start]

    def _look_closely(self, channels: np.ndarray, numbers: np.ndarray) -> Iterator[Click]:
        """Clicks in windows of the pass, by their samples; what is longer is told by its sides."""
        rate, window, apart = self._history.sample_rate, self._history.window, self._apart
        starts = (numbers - 5) * window
        sounds = self._history.stretches(channels, starts, 11 * window) * self._history.scale.unit
        bends = np.abs(sounds[:, 2 * apart :] - 2 * sounds[:, apart:-apart] + sounds[:, : -2 * apart])
        middles = 4 * window + np.argmax(bends[:, 4 * window : 7 * window], axis=1)
        longest, far = int(LONGEST_SECONDS * rate), int(0.010 * rate)
        sides = np.concatenate((np.arange(-far, -longest), np.arange(longest, far)))
        beside = np.take_along_axis(bends, middles[:, None] + sides, axis=1).max(axis=1, initial=1e-7)
        peaks = bends[np.arange(len(bends)), middles].astype(np.float64)
        above = 20 * np.log10(np.maximum(peaks, 1e-30) / beside)
        for row in np.flatnonzero(above >= CLICK_DB).tolist():
            span = _span(bends[row], int(middles[row]), longest, apart, float(beside[row]))
            if span is not None:
                yield self._click(int(channels[row]), int(starts[row]), sounds[row], span, float(above[row]))

    def _click(self, channel: int, start: int, sound: np.ndarray, span: tuple[int, int],
               above_db: float) -> Click:  # fmt: skip
        first, last = span
        calm = np.interp(np.arange(first, last), (first - 1, last), (sound[first - 1], sound[last]))
        near = 4 * self._apart
        jumps = float(sound[last : last + near].mean() - sound[first - near : first].mean())
        peak = float(np.abs(sound[first:last] - calm).max())
        return Click(channel, start + first, start + last, above_db, peak, jumps)


def _span(bends: np.ndarray, middle: int, longest: int, apart: int, beside: float) -> tuple[int, int] | None:
    """From where to where it bends far more than `beside`; none where that is an edge of something longer."""
    over = np.flatnonzero(bends[middle - longest : middle + longest] > max(2 * beside, bends[middle] / 8))
    first, last = middle - longest + int(over[0]), middle - longest + int(over[-1]) + 2 * apart + 1
    return None if last - first > longest + 2 * apart else (first, last)


assert WINDOWS_A_GROUP > 2 * _REACH
