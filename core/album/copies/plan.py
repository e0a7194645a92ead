"""What is written for a song: a used track of a capture, and the file that it becomes."""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from core.album.place import CaptureKey, Curve, Place
from core.values import dataclass

Way = Literal["zero", "stamped", "clock"]
WAYS: tuple[Way, ...] = ("zero", "stamped", "clock")
AS_CAPTURED, ALONG, RATIO = "as captured", "along its curve", "at a constant ratio"
ZERO_OF_SONG_SECONDS = 3600
"""Where the song's zero stands in a time reference: 01:00:00."""


@dataclass(frozen=True, slots=True)
class Used:
    """A used track, or a pair, of one capture."""

    part: str
    take: str
    player: str
    key: CaptureKey
    tracks: tuple[int, ...]
    place: Place
    span: tuple[float, float]
    """The song's stretch of the capture, in its seconds."""
    generation: int = 0
    side_of: str = ""
    """The part of which this file is one side, where another file is the other."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One file to be written."""

    name: str
    used: Used
    method: str
    rate: int
    start: int
    """Frame of the capture at which it starts where it is as captured; may lie before the capture's first."""
    frames: int
    from_seconds: float
    """Seconds of the files' common clock at which it starts."""
    time_reference: int
    curve: Curve = field(repr=False)
    """Seconds of the capture to seconds of the common clock."""
    runs_apart_ms: float = 0.0
    """By how much it runs apart from its place, at most, read as it is."""
