"""Which tracks carry timecode, and reading it while the pass goes by."""

from __future__ import annotations

import re

import numpy as np

from core.capture.measures.history import History
from core.capture.measures.windows import Windows
from core.capture.timecode.decode import TimecodeReader, looks_like_timecode
from core.capture.timecode.runs import TimecodeTrack
from core.capture.weighing.facts import ReelFacts
from core.capture.weighing.places import PassMaker
from core.findings import Finding, TimecodeFound, TimecodeRunFound

NAMED_CODE = re.compile(r"\b(smpte|ltc|time ?code|tc)\b", re.IGNORECASE)
"""Parts of a track sheet that mean timecode."""
_LISTEN_SECONDS = 1.6
_OFTEN, _LATER_SECONDS = 6, 10.0
"""After so many looks at the head of the pass, tracks are listened to only now and then."""
_TRIES = 4
_ONE_FRAME_SECONDS = 0.042
_FEWEST_CHANGES, _MOST_CHANGES = 1600, 5600
"""Changes of sign a second: 80 to 160 a frame at 24 to 30 frames, with room for speed and for hum."""
_SQUARE = 0.4
"""RMS over peak from which a track could be timecode; music hardly ever comes so near to a square wave."""
_NEARLY = 0.7
"""A group is not the very stretch that is listened to, so that a little less is enough to listen."""


class CodeTracks:
    """Reads every track that is known to carry timecode, or turns out to."""

    def __init__(self, history: History, reel: ReelFacts, tracks: tuple[int, ...]) -> None:
        self._history, self._reel = history, reel
        self._unit = np.float32(history.scale.unit)
        self._readers: dict[int, TimecodeReader] = {}
        self._tries = np.zeros(history.channels, np.int64)
        self.expected = frozenset(at for at, track in enumerate(tracks) if _is_named(reel, track))
        for channel in self.expected:
            self._readers[channel] = self._reader()
        self._next_listen = int(_LISTEN_SECONDS * history.sample_rate)
        self._listened = 0
        self.read: dict[int, TimecodeTrack] = {}

    def _reader(self) -> TimecodeReader:
        return TimecodeReader(self._history.sample_rate, self._reel.timecode_rate)

    def __call__(self, windows: Windows) -> None:
        """Take the next group of the pass."""
        chunk = windows.chunk
        for channel, reader in self._readers.items():
            reader.feed(chunk.samples[channel, : chunk.frames] * self._unit)
        end = chunk.start + chunk.frames
        if end >= self._next_listen:
            self._listened += 1
            pause = _LISTEN_SECONDS if self._listened < _OFTEN else _LATER_SECONDS
            self._next_listen = end + int(pause * self._history.sample_rate)
            for channel in np.flatnonzero(self._square(windows) & (self._tries < _TRIES)).tolist():
                if channel not in self._readers:
                    self._listen(channel, end)

    def _square(self, windows: Windows) -> np.ndarray:
        """Channels on which a group is near enough to a square wave to be listened to."""
        rms = np.sqrt(windows.energy.sum(axis=1) / max(1, windows.chunk.frames))
        square: np.ndarray = rms >= _NEARLY * _SQUARE * windows.peaks.max(axis=1)
        return square

    def _listen(self, channel: int, end: int) -> None:
        start = max(0, end - int(_LISTEN_SECONDS * self._history.sample_rate))
        sound = self._history.stretch(channel, start, end).astype(np.float32, copy=False) * self._unit
        peak = max(float(sound.max(initial=0.0)), -float(sound.min(initial=0.0)))
        rms = float(np.sqrt(np.einsum("s,s->", sound, sound) / max(1, len(sound))))
        if rms < 0.001 or rms < _SQUARE * peak:
            return
        below = np.signbit(sound)
        changes = np.count_nonzero(below[1:] != below[:-1])
        if not _FEWEST_CHANGES < changes * self._history.sample_rate / len(sound) < _MOST_CHANGES:
            return
        self._tries[channel] += 1
        if not looks_like_timecode(sound, self._history.sample_rate):
            return
        reader = self._readers[channel] = self._reader()
        quiet = np.zeros(self._history.group_frames, np.float32)
        for at in range(0, self._history.oldest, len(quiet)):
            reader.feed(quiet[: min(len(quiet), self._history.oldest - at)])
        reader.feed(self._history.stretch(channel, self._history.oldest, end).astype(np.float32) * self._unit)

    def finish(self) -> None:
        """Read to the end; a track that gave nothing is kept only if timecode was expected on it."""
        end = self._history.written
        if end < self._history.sample_rate * _LISTEN_SECONDS and end > 0:
            for channel in range(self._history.channels):
                if channel not in self._readers:
                    self._listen(channel, end)
        for channel, reader in self._readers.items():
            track = reader.finish()
            if track.frames_read or channel in self.expected:
                self.read[channel] = track

    def found(self, tracks: tuple[int, ...]) -> tuple[TimecodeFound, ...]:
        """What was read, as plain values."""
        read = [(channel, track) for channel, track in sorted(self.read.items()) if track.frames_read]
        return tuple(_found(tracks[channel], track) for channel, track in read)

    def missing_at(self, frame: int) -> float | None:
        """Seconds by which the clock leaps ahead at a frame of the pass where two pieces meet, if it does."""
        near = 0.5 * self._history.sample_rate
        for track in self.read.values():
            for one, two in zip(track.runs, track.runs[1:], strict=False):
                if one.end_sample - near <= frame <= two.start_sample + near:
                    before = one.seconds_at_zero + one.seconds_per_sample * frame
                    after = two.seconds_at_zero + two.seconds_per_sample * frame
                    leap = (after - before) * np.sign(one.seconds_per_sample)
                    leap = (leap + 43200) % 86400 - 43200
                    if leap > _ONE_FRAME_SECONDS:
                        return float(leap)
        return None

    def tells_at(self, frame: int) -> bool:
        """Whether a clock that was read runs over that frame of the pass, or right up to it on both sides."""
        near = 0.5 * self._history.sample_rate
        return any(
            any(run.start_sample - near <= frame <= run.end_sample - near for run in track.runs)
            and any(run.start_sample + near <= frame <= run.end_sample + near for run in track.runs)
            for track in self.read.values()
        )

    def code_channels(self) -> frozenset[int]:
        """Channels that carry timecode, or should."""
        return frozenset(self.read) | self.expected


def _is_named(reel: ReelFacts, track: int) -> bool:
    return track == reel.timecode_track or bool(NAMED_CODE.search(reel.sheet.get(track, "")))


def _found(track: int, read: TimecodeTrack) -> TimecodeFound:
    runs = tuple(
        TimecodeRunFound(run.start_sample, run.end_sample, run.first, run.last, run.seconds_at_zero,
                         run.seconds_per_sample, run.residual_samples)
        for run in read.runs
    )  # fmt: skip
    return TimecodeFound(track, read.rate, read.direction, read.frames_read, read.frames_inferred, runs)


def code_findings(code: CodeTracks, make: PassMaker) -> list[Finding]:
    """Gaps and jumps of the timecode, code that runs backwards, and code that is not there."""
    found = []
    for channel, track in sorted(code.read.items()):
        for kind, places in (("timecode gap", track.gaps), ("timecode jump", track.jumps)):
            for start, end, says in places:
                rate = make.sample_rate
                text = f"{make.begin(channel)}: {says}"
                found.append(make.at(kind, channel, start * rate, end * rate, text, size=end - start))
        if track.frames_read and track.direction == "reverse":
            says = f"{make.begin(channel)}: the timecode runs backwards; the tape was played the other way."
            found.append(make.whole("reversed", channel, says))
        if not track.frames_read:
            says = f"{make.begin(channel)} should carry timecode, but none could be read."
            found.append(make.whole("timecode", channel, says))
    return found
