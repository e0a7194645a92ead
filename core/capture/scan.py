"""Everything that is measured on the planar samples of a pass, chunk by chunk."""

from __future__ import annotations

from collections.abc import Callable

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


class Scan:
    """Takes the samples of a pass in blocks of any size; what it measures does not depend on the size."""

    def __init__(self, channels: int, sample_rate: int, scale: Scale, total_frames: int,
                 listeners: tuple[Callable[[Windows], None], ...] = ()) -> None:  # fmt: skip
        self.history = history = History(channels, sample_rate, scale)
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
        start = self.history.written // self.history.group_frames * self.history.group_frames
        if start < self.history.written:
            self._group(start)
        for test in (self.true_peak, self.dropouts, self.full_scale, self.hum, self.zeros):
            test.finish()

    def _chunk(self, chunk: Fresh) -> None:
        self.not_numbers |= chunk.tidied
        self._measure.take(chunk)
        self.impulses.take(chunk)
        if self.history.written % self.history.group_frames == 0:
            self._group(self.history.written - self.history.group_frames)

    def _group(self, start: int) -> None:
        windows = self._measure.group(start)
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
