"""Everything that is measured on the planar samples of a pass, chunk by chunk."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor

from core.capture.faults.dropouts import Dropouts
from core.capture.faults.full_scale import FullScale
from core.capture.faults.gaps.continuity import LONGEST_SECONDS
from core.capture.faults.hum import HumWatch
from core.capture.faults.pairs import Pairs
from core.capture.faults.repeats import Repeats
from core.capture.faults.zero_places import ZeroPlaces
from core.capture.files.samples import Planar, Scale
from core.capture.measures.band_levels import BandLevels
from core.capture.measures.breaks import Breaks
from core.capture.measures.grain import Grain
from core.capture.measures.history import Fresh, History
from core.capture.measures.impulses import Impulses
from core.capture.measures.loud.levels import Levels
from core.capture.measures.loud.loudness import Loudness
from core.capture.measures.loud.true_peak import TruePeak
from core.capture.measures.neighbours import Neighbours
from core.capture.measures.spectra import Spectra
from core.capture.measures.windows import Measurer, Windows
from core.capture.steady.lines import SteadyLines

_AHEAD = 2
"""Groups that may wait to be looked at in a thread of its own: enough to even out those that take long."""


class Scan:
    """Takes the samples of a pass in blocks of any size; what it measures does not depend on the size.

    With two workers groups are looked at in a thread of their own while the next are filled and measured, one
    after the other: the result is the same. Who begins such a scan calls `finish` or `close`.
    """

    def __init__(self, channels: int, sample_rate: int, scale: Scale, total_frames: int,
                 listeners: tuple[Callable[[Windows], None], ...] = (), *,
                 workers: int = 1) -> None:  # fmt: skip
        ahead = _AHEAD if workers > 1 else 0
        self._thread = ThreadPoolExecutor(1, "look at groups") if ahead else None
        self._under_way: deque[Future[None]] = deque()
        self.history = history = History(channels, sample_rate, scale, ahead=ahead)
        self._measure = Measurer(history)
        self.levels = Levels(history)
        self.full_scale = FullScale(history)
        self.true_peak = TruePeak(history, total_frames)
        self.zeros = ZeroPlaces(history, LONGEST_SECONDS * 4)
        self.repeats = Repeats(history)
        self.dropouts = Dropouts(history)
        self.loudness = Loudness(history, total_frames)
        self.hum = HumWatch(history)
        self.pairs = Pairs(history, total_frames)
        self.grain = Grain(history)
        self.spectra = Spectra(history)
        self.neighbours = Neighbours(history, self.spectra)
        self.steady_lines = SteadyLines(history, self.spectra)
        self.band_levels = BandLevels(history)
        self.breaks = Breaks(history)
        self.impulses = Impulses(history)
        self.listeners = listeners
        self.not_numbers = False

    def feed(self, frames: int, fill: Callable[[int, Planar], None]) -> None:
        """Take `frames` more; `fill(start, rows)` writes those from `start` on into planar rows."""
        done = 0
        while done < frames:
            room = self.history.room()[:, : frames - done]
            fill(done, room)
            done += room.shape[1]
            chunk = self.history.advance(room.shape[1])
            if chunk is not None:
                self._chunk(chunk)

    def finish(self) -> None:
        """Measure what is left and bring every test to its end."""
        chunk = self.history.last()
        if chunk is not None:
            self._chunk(chunk)
        start = self.history.kept // self.history.group_frames * self.history.group_frames
        if start < self.history.kept:
            self._group(start)
        self._let_end(0)
        self.close()
        for test in (self.true_peak, self.dropouts, self.full_scale, self.hum, self.zeros):
            test.finish()

    def close(self) -> None:
        """Let go of the thread; groups that wait are not looked at any more."""
        if self._thread is not None:
            self._thread.shutdown(cancel_futures=True)

    def _chunk(self, chunk: Fresh) -> None:
        self.not_numbers |= chunk.tidied
        self._measure.take(chunk)
        if self.history.kept % self.history.group_frames == 0:
            self._group(self.history.kept - self.history.group_frames)

    def _group(self, start: int) -> None:
        windows = self._measure.group(start)
        if self._thread is None:
            self._look(windows)
            return
        self._under_way.append(self._thread.submit(self._look, windows))
        self._let_end(_AHEAD)

    def _let_end(self, most: int) -> None:
        """Wait until no more groups than that are under way; what went wrong in one is raised here."""
        while len(self._under_way) > most:
            self._under_way.popleft().result()

    def _look(self, windows: Windows) -> None:
        self.history.show(windows.chunk.start + windows.chunk.frames)
        self.levels.add(windows)
        self.full_scale.add(windows, self.levels)
        for test in (
            self.true_peak, self.zeros, self.repeats, self.dropouts, self.loudness, self.hum, self.pairs,
            self.grain, self.band_levels, self.spectra, self.neighbours, self.steady_lines,
            self.breaks, self.impulses,
        ):  # fmt: skip
            test.add(windows)
        for listener in self.listeners:
            listener(windows)
