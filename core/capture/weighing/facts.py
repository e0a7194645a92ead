"""What the shelf knows that a capture is held against; the caller fills these in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from core.standing.pass_length import ROUGH
from core.values import dataclass


@dataclass(frozen=True, slots=True)
class TimedNote:
    """A note that was dropped while the pass played."""

    seconds: float
    """From the start of the pass."""
    text: str


@dataclass(frozen=True, slots=True)
class EarlierPass:
    """Another pass of the same reel that was checked before."""

    number: int
    tracks: tuple[int, ...]
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReelFacts:
    """One reel as far as a capture can be held against it."""

    key: str
    tracks: int | None = None
    speed_ips: float | None = None
    width_inches: float | None = None
    """Of the tape."""
    pack_inches: tuple[float, float] | None = None
    """Diameters between which its pack lies, from hub to spool; none where nothing tells."""
    expected_seconds: float | None = None
    """Play time by the reel's estimate."""
    length_from: str = ""
    """How its length was got: length, pack_diameter, reel_size, assumed, segment ..."""
    sheet: Mapping[int, str] = field(default_factory=dict)
    """Part by track, over all the reel's sheets; a row without a part is left out or empty."""
    has_sheet: bool | None = None
    """Whether the reel has a sheet at all; by default, whether `sheet` has rows."""
    timecode_track: int | None = None
    timecode_rate: str | None = None
    """24, 25, 29.97, 29.97 DF or 30."""
    notes: tuple[TimedNote, ...] = ()
    earlier: tuple[EarlierPass, ...] = ()
    """Passes to which this one is laid by its guide tracks, where the studio has any."""

    @property
    def sheet_tells(self) -> bool:
        """Whether a track sheet can be held against the tracks."""
        return bool(self.sheet) if self.has_sheet is None else self.has_sheet

    @property
    def length_is_rough(self) -> bool:
        """Whether the play time rests on the size of the spool, or on no more than an assumption."""
        return self.length_from in ROUGH


@dataclass(frozen=True, slots=True)
class StudioFacts:
    """The studio's capture set-up."""

    sample_rate_hz: int | None = None
    bit_depth: int | None = None
    inputs: int | None = None
    guide_tracks: int = 0
    file_names: str = ""
    """The shelf's own rule for the names of captured files; empty for none."""


def tracks_of_pass(reel_tracks: int | None, studio: StudioFacts, pass_number: int) -> tuple[int, ...] | None:
    """The tracks that a pass carries by the studio's inputs; none if the reel's tracks are not known.

    Guide tracks, where there are any, are the first tracks of the reel and run in every pass.
    """
    if reel_tracks is None:
        return None
    every = tuple(range(1, reel_tracks + 1))
    if not studio.inputs or studio.inputs >= reel_tracks:
        return every
    guides = min(studio.guide_tracks, studio.inputs - 1)
    fresh = studio.inputs - guides
    rest = every[guides:]
    pass_number = (pass_number - 1) % -(-len(rest) // fresh) + 1  # a later part of the tape begins anew
    return every[:guides] + rest[(pass_number - 1) * fresh : pass_number * fresh]
