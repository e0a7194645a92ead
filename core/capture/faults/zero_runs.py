"""Exact zeros of 2 ms and more inside sound: what an interface writes when it loses samples."""

from __future__ import annotations

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import PARTS, Windows
from core.values import dataclass

SHORTEST_SECONDS = 0.002
_PARTS = 2
"""A run holds at least so many whole parts of a window; where it may hold fewer, all is looked at."""


@dataclass(frozen=True, slots=True)
class ZeroRun:
    """A stretch of exact zeros on one channel, with sound on either side or not."""

    channel: int
    start: int
    stop: int


class ZeroRuns:
    """Collects stretches of exact zeros; whether they lie inside sound is for the caller to judge."""

    def __init__(self, history: History, longest_seconds: float) -> None:
        self._shortest = int(np.ceil(SHORTEST_SECONDS * history.sample_rate))
        self._longest = longest_seconds * history.sample_rate
        self._everywhere = self._shortest < (2 * _PARTS + 1) * (history.window // PARTS)
        self._open: list[int | None] = [None] * history.channels
        """Where the run began that reached the end of the last group."""

    def add(self, windows: Windows) -> list[ZeroRun]:
        """The runs that ended in this group, if not longer than asked for."""
        chunk = windows.chunk
        samples = chunk.samples[:, : chunk.frames]
        still = windows.parts.reshape(len(samples), -1) == 0
        busy = (still[:, 1:] & still[:, :-1]).any(axis=1) | (samples[:, -1] == 0) | self._everywhere
        found: list[ZeroRun] = []
        for channel, some in enumerate(busy.tolist()):
            before = self._open[channel]
            if some or before is not None:
                found += self._channel(channel, samples[channel] == 0, chunk.start, before)
        return found

    def _channel(self, channel: int, zero: np.ndarray, start: int, before: int | None) -> list[ZeroRun]:
        if zero.all():
            self._open[channel] = start if before is None else before
            return []
        edges = np.flatnonzero(zero[1:] != zero[:-1]) + 1
        edges = np.concatenate(([0], edges, [len(zero)]))
        first = 0 if zero[0] else 1
        starts, stops = edges[first:-1:2] + start, edges[first + 1 :: 2] + start
        self._open[channel] = None
        if zero[-1]:
            self._open[channel] = int(starts[-1])
            starts, stops = starts[:-1], stops[:-1]
            if before is not None and len(stops) == 0 and zero[0]:
                self._open[channel] = before
        if before is not None:
            if len(starts) and starts[0] == start:
                starts = starts.copy()
                starts[0] = before
            elif not zero[0]:
                starts, stops = np.concatenate(([before], starts)), np.concatenate(([start], stops))
        lengths = stops - starts
        keep = (lengths >= self._shortest) & (lengths <= self._longest)
        return [ZeroRun(channel, int(a), int(b)) for a, b in zip(starts[keep], stops[keep], strict=True)]
