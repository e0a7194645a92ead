"""Samples at full scale: all are counted, three or more in a row are clipping."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.capture.measures.history import EXTREME_FRAMES, History
from core.capture.measures.loud.levels import Levels
from core.capture.measures.windows import Windows

IN_A_ROW = 3
JOIN_SECONDS = 0.1
"""Runs less than this apart are one place."""


@dataclass(slots=True)
class Clip:
    """A place where a channel clips."""

    channel: int
    start: int
    stop: int
    samples: int
    """Full-scale samples in runs of three and more."""
    longest: int


class FullScale:
    """Finds clipping while the pass goes by."""

    def __init__(self, history: History) -> None:
        self._scale = history.scale
        self._gap = JOIN_SECONDS * history.sample_rate
        self._run: list[tuple[int, int]] = [(0, 0)] * history.channels
        """The run that ended with the last chunk, as start and stop; empty if start equals stop."""
        self.clips: list[list[Clip]] = [[] for _ in range(history.channels)]

    def add(self, windows: Windows, levels: Levels) -> None:
        """Look at one chunk; only channels that reach full scale cost anything."""
        chunk = windows.chunk
        top, low = windows.highest
        reaches = (top >= self._scale.top) | (low <= self._scale.bottom)
        waiting = np.array([stop > start for start, stop in self._run])
        for channel in np.flatnonzero(reaches | waiting).tolist():
            at = self._full(windows, channel)
            levels.clipped[channel] += len(at)
            self._runs(channel, at + chunk.start, chunk.start, chunk.start + chunk.frames)

    def _full(self, windows: Windows, channel: int) -> np.ndarray:
        rows = windows.chunk.samples[channel].reshape(-1, EXTREME_FRAMES)
        top, low = windows.extremes[:, channel]
        which = np.flatnonzero((top >= self._scale.top) | (low <= self._scale.bottom))
        full = (rows[which] >= self._scale.top) | (rows[which] <= self._scale.bottom)
        row, column = np.nonzero(full)
        at: np.ndarray = which[row] * EXTREME_FRAMES + column
        return at

    def _runs(self, channel: int, at: np.ndarray, start: int, stop: int) -> None:
        if len(at) == 0:
            self._close(channel, *self._run[channel])
            self._run[channel] = (0, 0)
            return
        breaks = np.flatnonzero(np.diff(at) > 1)
        firsts = at[np.concatenate(([0], breaks + 1))]
        stops = at[np.concatenate((breaks, [len(at) - 1]))] + 1
        before = self._run[channel]
        if before[1] > before[0]:
            if before[1] == firsts[0] == start:
                firsts[0] = before[0]
            else:
                self._close(channel, *before)
        self._run[channel] = (0, 0)
        if stops[-1] == stop:
            self._run[channel] = (int(firsts[-1]), int(stops[-1]))
            firsts, stops = firsts[:-1], stops[:-1]
        long = stops - firsts >= IN_A_ROW
        for first, last in zip(firsts[long], stops[long], strict=True):
            self._close(channel, int(first), int(last))

    def _close(self, channel: int, start: int, stop: int) -> None:
        """Keep a finished run, joined to the clip before it if that is near."""
        if stop - start < IN_A_ROW:
            return
        clips = self.clips[channel]
        if clips and start - clips[-1].stop < self._gap:
            clip = clips[-1]
            clip.stop, clip.samples = stop, clip.samples + stop - start
            clip.longest = max(clip.longest, stop - start)
        else:
            clips.append(Clip(channel, start, stop, stop - start, stop - start))

    def finish(self) -> None:
        """Close the runs that reach the end of the pass."""
        for channel, run in enumerate(self._run):
            self._close(channel, *run)
            self._run[channel] = (0, 0)
