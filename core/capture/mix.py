"""A mix that came home, measured in one read: digest, length from first to last sound, peaks, loudness."""

from __future__ import annotations

import time
from contextlib import closing
from pathlib import Path

import numpy as np

from core.capture.files.layout import Layout, lay_out
from core.capture.files.progress import Asked, Progress, Told, never
from core.capture.files.reading import Reading, Slab, fill_raised
from core.capture.files.samples import Scale
from core.capture.files.wave.header import Header, Unreadable
from core.capture.files.wave.opened import read_header
from core.capture.measures.history import EXTREME_FRAMES, Fresh, History
from core.capture.measures.loud.levels import decibels
from core.capture.measures.loud.true_peak import TruePeak
from core.capture.measures.programme import Programme
from core.capture.measures.two_sides import Sides, TwoSides
from core.capture.measures.windows import Measurer
from core.errors import Unusable
from core.values import dataclass

SOUND_DBFS = -60.0
"""What is above this is sound: where a silence ends and begins, as in the check of a pass."""


@dataclass(frozen=True, slots=True)
class MixMeasure:
    """What one file holds: seconds from its start, levels in dBFS, dBTP, LUFS; None where nothing sounds."""

    sha256: str
    bytes: int
    channels: int
    sample_rate: int
    encoding: str
    seconds: float
    first_sound: float | None
    last_sound: float | None
    peak_dbfs: float | None
    true_peak_dbtp: float | None
    loudness_lufs: float | None
    sides: Sides = ""
    """What is odd about the two channels: equal, opposed, or one of them alone."""

    @property
    def sounding_seconds(self) -> float:
        """From the first sound to the last."""
        if self.first_sound is None or self.last_sound is None:
            return 0.0
        return self.last_sound - self.first_sound


def measure_mix(path: Path, progress: Told | None = None, cancelled: Asked = never) -> MixMeasure:
    """Reads the file once and measures it; Unusable, with the file named, where it is no sound or changes."""
    try:
        header = read_header(path)
    except Unreadable as error:
        raise Unusable(f"{path}: {error}") from error
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    if header.state == "cut short":
        of = f" of {header.declared_frames}" if header.declared_frames else ""
        raise Unusable(f"{path}: cut short, {header.frames}{of} frames are there: bring the whole file")
    layout = lay_out([header], None)
    if layout is None or not header.frames:
        raise Unusable(f"{path}: holds no sound")
    return _Measuring(path, header).run(layout, progress, cancelled)


class _Measuring:
    """One mix under way."""

    def __init__(self, path: Path, header: Header) -> None:
        self.path, self.header = path, header
        scale = Scale.of(header)
        self.history = History(header.channels, header.sample_rate, scale)
        self.measurer = Measurer(self.history, extremes_alone=True)
        self.peak = 0.0
        self.true_peak = TruePeak(self.history, header.frames)
        self.sides = TwoSides(header.channels)
        self.programme = Programme(header.channels, header.sample_rate, scale.unit)
        self.threshold = 10 ** (SOUND_DBFS / 20) / scale.unit
        self.first: int | None = None
        self.last = 0

    def run(self, layout: Layout, progress: Told | None, cancelled: Asked) -> MixMeasure:
        """Read to the end."""
        reading = Reading([self.path], [self.header], layout.pieces, workers=2, cancelled=cancelled)
        began, done = time.monotonic(), 0
        with closing(reading.slabs()) as slabs:
            for slab in slabs:
                self._feed(slab)
                done += slab.frames
                if progress is not None:
                    share = done / self.header.frames
                    elapsed = time.monotonic() - began
                    progress(Progress(int(self.header.bytes * share), self.header.bytes, elapsed))
        self._finish()
        (feed,) = reading.feeds
        if feed.trouble or feed.sha256 is None:
            raise Unusable(f"{self.path}: {feed.trouble or 'could not be read to its end'}")
        return self._told(feed.sha256)

    def _feed(self, slab: Slab) -> None:
        done = 0
        while done < slab.frames:
            room = self.history.room()[:, : slab.frames - done]
            fill_raised(slab, [self.header], done, room)
            done += room.shape[1]
            self._chunk(self.history.advance(room.shape[1]))

    def _chunk(self, chunk: Fresh | None) -> None:
        if chunk is None:
            return
        self.measurer.take(chunk)
        self.programme.take(chunk)
        self.sides.take(chunk)
        if self.history.written % self.history.group_frames == 0:
            self._group(self.history.written - self.history.group_frames)

    def _finish(self) -> None:
        self._chunk(self.history.last())
        start = self.history.written // self.history.group_frames * self.history.group_frames
        if start < self.history.written:
            self._group(start)
        self.true_peak.finish()

    def _group(self, start: int) -> None:
        windows = self.measurer.group(start)
        self.peak = max(self.peak, float(np.abs(windows.highest).max()) * self.history.scale.unit)
        self.true_peak.add(windows)
        loud = np.flatnonzero((windows.peaks > self.threshold).any(axis=0))
        if len(loud):
            if self.first is None:
                self.first = start + int(loud[0]) * EXTREME_FRAMES
            self.last = start + (int(loud[-1]) + 1) * EXTREME_FRAMES

    def _told(self, sha256: str) -> MixMeasure:
        header, unit = self.header, self.history.scale.unit
        peak = self.peak
        true_peak = max(peak, float(self.true_peak.peak.max()) * unit)
        rate = header.sample_rate
        return MixMeasure(
            sha256, header.bytes, header.channels, rate, header.encoding, header.seconds,
            None if self.first is None else self.first / rate,
            None if self.first is None else min(self.last, header.frames) / rate,
            decibels(peak), decibels(true_peak), self.programme.integrated(), self.sides.told(),
        )  # fmt: skip
