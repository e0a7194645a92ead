"""Findings with their places: seconds of the pass, feet of tape, and the notes that were dropped there."""

from __future__ import annotations

from core.capture.weighing.facts import ReelFacts
from core.capture.weighing.verdict import Thresholds
from core.findings import Finding
from core.values import dataclass

NOTE_REACH_SECONDS = 2.0
"""A note is dropped a moment after what it is about was heard."""


@dataclass(frozen=True, slots=True)
class PassMaker:
    """Makes the findings of one pass."""

    reel: ReelFacts
    tracks: tuple[int, ...]
    sample_rate: int
    frames: int
    thresholds: Thresholds

    @property
    def seconds(self) -> float:
        """Length of the pass."""
        return self.frames / self.sample_rate

    def at(self, kind: str, channel: int | None, start: float, stop: float, says: str, *,
           weight: str | None = None, other: int | None = None, size: float = 0.0,
           file: int | None = None) -> Finding:  # fmt: skip
        """A finding between two frames of the pass; channels count from 0.

        What was measured comes as the array library's own numbers and leaves as plain ones: a finding is
        kept as JSON, printed and sent on.
        """
        seconds = float(start) / self.sample_rate
        last = max(seconds, float(stop) / self.sample_rate)
        return Finding(
            kind, None if channel is None else int(self.tracks[channel]), round(seconds, 6),
            round(last, 6), weight or self.thresholds.weight(kind), says,
            other=None if other is None else int(self.tracks[other]), size=round(float(size), 3),
            file=None if file is None else int(file), feet=self._feet(seconds),
            notes=self._notes(seconds, last),
        )  # fmt: skip

    def whole(self, kind: str, channel: int | None, says: str, *, weight: str | None = None,
              other: int | None = None, size: float = 0.0, file: int | None = None) -> Finding:  # fmt: skip
        """A finding about a whole track, or about the whole pass."""
        return self.at(kind, channel, 0, self.frames, says, weight=weight, other=other, size=size, file=file)

    def track_name(self, channel: int) -> str:
        """The track's number and, where a sheet tells it, its part."""
        track = self.tracks[channel]
        part = self.reel.sheet.get(track, "")
        return f"track {track} ({part})" if part else f"track {track}"

    def begin(self, channel: int) -> str:
        """The track's name as a sentence begins with it."""
        return "T" + self.track_name(channel)[1:]

    def _feet(self, seconds: float) -> float | None:
        speed = self.reel.speed_ips
        return None if not speed else round(seconds * speed / 12, 2)

    def _notes(self, start: float, end: float) -> tuple[str, ...]:
        if start <= 0 and end >= self.seconds:
            return ()
        first, last = start - NOTE_REACH_SECONDS / 4, end + NOTE_REACH_SECONDS
        return tuple(note.text for note in self.reel.notes if first <= note.seconds <= last)

    def clock(self, frame: float) -> str:
        """The place of a frame as minutes and seconds."""
        return clock(frame / self.sample_rate)


def clock(seconds: float) -> str:
    """Minutes and seconds with tenths, as people read them off a counter."""
    tenths = round(seconds * 10)
    return f"{tenths // 600}:{tenths % 600 // 10:02d}.{tenths % 10}"
