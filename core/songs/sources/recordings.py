"""What was recorded of a song, and which tracks hold it, as values.

A *recording* is what was played once: song, part, take. One made on several tracks (left and right) has an
*atom* for each of them. A *carrier* is a track, or both of a stereo bounce, with the atoms it holds.
"""

from __future__ import annotations

from typing import NamedTuple

from core.songs.song import SheetRow
from core.values import dataclass


class Recording(NamedTuple):
    """Part and take, folded so that they compare."""

    part: str
    take: str


class Atom(NamedTuple):
    """One track's worth of a recording: ``side`` is left, right, or a number where the names are alike."""

    recording: Recording
    side: str


Playing = tuple[Recording, str]
"""A recording as one tape has it at first hand: two tapes that both do may hold two playings."""


@dataclass(frozen=True, slots=True)
class Carrier:
    """Tracks that are used together or not at all: one row, or the rows of a stereo bounce."""

    rows: tuple[SheetRow, ...]
    atoms: frozenset[Atom]
    generation: int
    """How often the most copied atom in it was copied; with an unknown source it is the least it can be."""
    written: bool = True
    """False for a track that only its copies tell of: no sheet says what is on it."""
    playings: frozenset[Playing] = frozenset()
    """At which playing of each recording it is, or its oldest source was; without those of unknown source."""
    elsewhere: bool = False
    """True for a track that sheets give to other songs: copies of it are one recording, it lies elsewhere."""
    of_unknown: bool = False
    """True for a mix of which nobody tells what it was mixed from: it may hold all of the song."""
    in_doubt: bool = False
    """True where two sheets tell different things of its track: it holds all that any of them tells."""

    @property
    def reel(self) -> str:
        """The reel that all its rows are on; empty for a loose sheet."""
        return self.rows[0].reel

    @property
    def tracks(self) -> tuple[int, ...]:
        """Its tracks, in their order."""
        return tuple(row.track for row in self.rows if row.track is not None)

    @property
    def label(self) -> str:
        """``K-101:3`` or ``K-101:3-4``."""
        tracks = sorted(self.tracks)
        if len(tracks) > 1 and tracks[-1] - tracks[0] == len(tracks) - 1:
            return f"{self.reel}:{tracks[0]}-{tracks[-1]}"
        return ", ".join(row.label for row in self.rows)


@dataclass(frozen=True, slots=True)
class Recorded:
    """Everything recorded of one song: every recording with a name for it, and every carrier."""

    names: dict[Recording, str]
    takes: dict[Recording, str]
    atoms: dict[Atom, int]
    """In the order of the sheets."""
    carriers: tuple[Carrier, ...]
    nameless: tuple[SheetRow, ...]
