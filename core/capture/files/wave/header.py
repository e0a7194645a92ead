"""What an audio file is and how much sound it really holds."""

from __future__ import annotations

from collections.abc import Mapping

from core.values import dataclass

MOST_CHANNELS = 256
LOWEST_RATE, HIGHEST_RATE = 8000, 768_000
"""What a capture of tape can have; a header that tells other figures is damaged, and memory follows them."""


class Unreadable(Exception):
    """The file holds no sound that can be measured; the text says why, in words without the path."""


@dataclass(frozen=True, slots=True)
class Header:
    """Where the samples of a file lie and how they are written."""

    container: str
    encoding: str
    sample_rate: int
    channels: int
    depth: int
    """Bits of a sample that count; the container may be wider."""
    sample_bytes: int
    sound_start: int
    """Byte at which the first frame starts; 0 where a library decodes the file."""
    frames: int
    """Whole frames that are there."""
    declared_frames: int | None
    """Frames by the size field; none where the size field is empty."""
    state: str
    bytes: int
    raw: bool = True
    """Whether the samples can be read as they lie."""
    time_reference: int | None = None
    bext: Mapping[str, object] | None = None
    remarks: tuple[str, ...] = ()

    @property
    def frame_bytes(self) -> int:
        """Bytes of one frame over all channels."""
        return self.channels * self.sample_bytes

    @property
    def seconds(self) -> float:
        """Play time of the frames that are there."""
        return self.frames / self.sample_rate

    @property
    def is_float(self) -> bool:
        """Whether samples are floating point, full scale at 1.0."""
        return self.encoding in ("FLOAT", "DOUBLE")


def believable(channels: int, sample_rate: int) -> None:
    """Raise Unreadable where no capture has so many channels or such a sample rate."""
    if not (0 < channels <= MOST_CHANNELS and LOWEST_RATE <= sample_rate <= HIGHEST_RATE):
        raise Unreadable(f"tells {channels} channels at {sample_rate} Hz, which no capture of tape has")
