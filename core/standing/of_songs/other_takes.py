"""What sound told of stretches without a sheet: another take of a song, or the very recording of one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from datetime import datetime
from typing import Final

from core.album.place import KeptKey
from core.as_json import as_json, named, read
from core.clock import clock_text
from core.shelf import Shelf
from core.songs.song import Song
from core.standing.kept_checks import checks_of, files_sum
from core.values import dataclass

KIND: Final = "take"


@dataclass(frozen=True, slots=True)
class OtherTake:
    """A stretch of one capture, in seconds of play time, that sounds like a song of another capture."""

    reel: str
    number: int
    """Which pass of it."""
    start: float
    end: float
    song: str
    against: tuple[str, int]
    """Reel and pass of the song's own clock, which it was held against."""
    same: bool
    """True where waveforms prove it the very same recording."""
    says: str
    """The figures."""
    of: tuple[str, str]
    """Short names of both captures' content then."""

    @property
    def label(self) -> str:
        """``R-009 0:04-3:12``."""
        return f"{self.reel} {clock_text(round(self.start))}-{clock_text(round(self.end))}"

    @property
    def key(self) -> str:
        """What it is kept under."""
        return f"{self.reel} pass {self.number} {round(self.start)}-{round(self.end)}"

    def words(self, song: Song | None = None) -> str:
        """``sounds like another take of Low Tide, as on R-001 (0.93 of it goes the same way, ...)``."""
        title = (song.title if song is not None else "") or self.song
        what = "is the very recording of" if self.same else "sounds like another take of"
        return f"{what} {title}, as on {self.against[0]} ({self.says})"

    def to_record(self, at: datetime | None = None) -> dict[str, object]:
        """As the shelf keeps it, with the moment when it was found; `tie --json` prints it without."""
        return as_json(
            _Kept(self.reel, self.number, self.start, self.end, self.song, KeptKey(*self.against), self.same,
                  self.says, self.of, at)
        )  # fmt: skip

    @classmethod
    def from_record(cls, record: Mapping[str, object]) -> OtherTake:
        """Reads what is kept; raises ValueError for anything else."""
        kept = read(_Kept, record)
        return cls(kept.reel, kept.number, kept.start, kept.end, kept.song,
                   kept.against.key, kept.same, kept.says, kept.of)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Kept:
    """What was found, as its record tells it."""

    reel: str
    number: int = field(metadata=named("pass"))
    start: float = field(metadata=named("from"))
    end: float = field(metadata=named("to"))
    song: str
    against: KeptKey
    same: bool
    says: str
    of: tuple[str, str]
    at: datetime | None = None


_told: list[tuple[object, object, object, tuple[OtherTake, ...]]] = []


def other_takes(shelf: Shelf) -> tuple[OtherTake, ...]:
    """All that is kept, of songs that are there and of captures that are still what they were.

    Sought once for the very same records: every song and every tape asks.
    """
    kept, checks = shelf.of_kind(KIND), shelf.of_kind("check")
    if not kept:
        return ()
    if not _told or _told[0][0] is not kept or _told[0][1] is not checks or _told[0][2] is not shelf.songs:
        _told[:] = [(kept, checks, shelf.songs, tuple(_fitting(shelf)))]
    return _told[0][3]


def _fitting(shelf: Shelf) -> Iterator[OtherTake]:
    for record in shelf.of_kind(KIND).values():
        try:
            one = OtherTake.from_record(record)
        except ValueError:
            continue
        if one.song in shelf.songs and _content(shelf, one) == one.of:
            yield one


def _content(shelf: Shelf, one: OtherTake) -> tuple[str, ...]:
    there = (checks_of(shelf, reel).get(number) for reel, number in ((one.reel, one.number), one.against))
    return tuple(files_sum(check) if check is not None else "" for check in there)


def untold_takes(shelf: Shelf, song: Song) -> Iterator[str]:
    """A line for each stretch that sounds like that song, of which neither needs nor sheets tell."""
    on_sheets = {row.reel for row in shelf.sheets if row.song == song.key}
    for one in other_takes(shelf):
        told = any(need.reel == one.reel and need.start is not None and need.end is not None
                   and float(need.start) < one.end and float(need.end) > one.start
                   for need in song.needs)  # fmt: skip
        if one.song == song.key and one.reel not in on_sheets and not told:
            yield (
                f"{one.label} {one.words(song)}, and nothing tells of it: give it a sheet, or add it to needs"
            )
