"""The whole shelf as one immutable value: what a change is made from and what it makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import TYPE_CHECKING, Any, Literal, overload

from core.chosen import Choice, Chosen
from core.errors import Refused
from core.reels.by_number import meant
from core.reels.reel import Reel, Segment
from core.songs.song import SheetRow, Song
from core.studio.studio import Studio
from core.values import dataclass

if TYPE_CHECKING:
    from datetime import datetime

    from core.raw import RawCheck, RawStep
    from core.tape.stock import Stock

#: The kinds of record kept beside reels, songs and sheets: kind -> key -> plain JSON value.
RecordKind = Literal[
    "plan",  # "kept": the kept plan; numbers of earlier ones
    "pin",  # what the owner fixed or forbade for the planner
    "deck",  # deck id: the set-up on which it stands, and since when
    "path",  # deck id: when its path was wiped last after a tape that left something on it
    "lineup",  # dated line-up records
    "load",  # chamber loads: members, touches done, readings
    "at word",  # reel: marked conditioned at the owner's word, with no load that tells its hours
    "pass",  # passes on a reel: pieces, where stopped and why
    "timed note",  # notes dropped while a pass ran
    "check",  # what a check of captured files found
    "strip",  # levels along a checked pass, for pictures
    "course",  # where the file beside the shelf lies with frames, speed and levels of a checked pass
    "tie",  # how two captures lie to one another, found by sound or told
    "old mix",  # "song reel pass n": what sounds in a mix that no captured track explains
    "claim",  # two captures: which tracks sheets tell to be one sound, and what sound says of each
    "take",  # "reel pass n from-to": a stretch without a sheet that sounds like a song, and like which
    "turned",  # captures of a pass that ran backwards, turned round beside the originals
    "look",  # whether the files of a check are still what they were
    "copy",  # second copies of checked files that were compared
    "listened",  # what was said of the places of a listening list
    "actual",  # what steps really took
    "ran",  # "reel moment": a tape that was marked transferred with no pass, and its deck
    "put back",  # reel: when it was put back to its place, and where that is
    "gone",  # reel that is not on the shelf any more: what it had that others may have from it
    "looked after",  # reel: when it was found clean after it ran over a path with mould on it
    "one box",  # reel: in whose box it lay, and when the two were told apart
    "sheet place",  # sheet: the tape and span that the owner said it is of, or that it is of none
    "use",  # "song: part/take": the track that the owner chose for that recording
    "mix",  # "song number": a mix that came home, measured
    "step",  # "song number": what is left to do after capture
    "credit",  # player: asked, answered, how named on the sleeve
    "album",  # album: the gap between songs
    "lay",  # "chamber moment reel": what lay warm in no load, as was told afterwards
    "file columns",  # table: the columns of the owner's own files, in their order
    "stock",  # the owner's own rows of the stocks table
    "setting",  # what the owner chose once for good: the names are core.chosen.Choice
]


@dataclass(frozen=True, slots=True)
class Event:
    """One row of history: what changed, from what to what, when, and why."""

    at: datetime
    kind: str
    key: str
    field: str = "note"
    old: str = ""
    new: str = ""
    note: str = ""
    because: str = ""
    change: int = 0  # rows of one act share a number, so that the act can be undone as one
    extra: tuple[tuple[str, str], ...] = ()


Records = Mapping[str, Mapping[str, object]]
NO_RECORDS: Mapping[str, object] = {}


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything known about one person's tapes. ``reels`` and ``songs`` keep the order of arrival."""

    studio: Studio
    name: str = ""
    reels: Mapping[str, Reel] = field(default_factory=dict)
    songs: Mapping[str, Song] = field(default_factory=dict)
    sheets: tuple[SheetRow, ...] = ()
    segments: tuple[Segment, ...] = ()
    history: Sequence[Event] = ()
    records: Records = field(default_factory=dict)
    revision: int = 0

    def reel(self, key: str) -> Reel:
        """The reel of that key; Refused if there is none."""
        try:
            return self.reels[key]
        except KeyError:
            raise Refused(f"no reel {key!r} on this shelf{meant(key, self.reels)}") from None

    def song(self, key: str) -> Song:
        """The song of that key; Refused if there is none."""
        try:
            return self.songs[key]
        except KeyError:
            raise Refused(f"no song {key!r} on this shelf") from None

    def with_reel(self, *reels: Reel) -> Shelf:
        """The shelf with these reels in place of those of the same keys, or added."""
        return replace(self, reels={**self.reels, **{reel.key: reel for reel in reels}})

    def with_song(self, *songs: Song) -> Shelf:
        """The shelf with these songs in place of those of the same keys, or added."""
        return replace(self, songs={**self.songs, **{song.key: song for song in songs}})

    @overload
    def of_kind(self, kind: Literal["actual"]) -> Mapping[str, RawStep]: ...

    @overload
    def of_kind(self, kind: Literal["check"]) -> Mapping[str, RawCheck]: ...

    @overload
    def of_kind(self, kind: RecordKind) -> Mapping[str, Any]: ...

    def of_kind(self, kind: RecordKind) -> Mapping[str, Any]:
        """The records of one kind, by key."""
        return self.records.get(kind, NO_RECORDS)

    @property
    def chosen(self) -> Chosen:
        """What the owner chose once for good."""
        return Chosen(self.of_kind("setting"))

    def choosing(self, name: Choice, value: object | None) -> Shelf:
        """The shelf with one of the owner's choices kept (a plain JSON value), or let go with None."""
        return self.with_record("setting", name, value)

    def with_record(self, kind: RecordKind, key: str, value: object | None) -> Shelf:
        """The shelf with one record put (a plain JSON value), or taken away with None."""
        there = self.of_kind(kind)
        if value is None and key not in there:
            return self
        read = getattr(there, "kept", there.__getitem__)  # one record that cannot be read stops no other
        kept = {k: read(k) if k != key else None for k in there if k != key or value is not None}
        if value is not None:
            kept[key] = value
        return replace(self, records={**self.records, kind: kept})

    def segments_of(self, reel: str) -> tuple[Segment, ...]:
        """The parts of one tape that have set-ups of their own, in order."""
        return tuple(s for s in self.segments if s.reel == reel)

    def sheets_of(self, reel: str) -> tuple[SheetRow, ...]:
        """The track sheet rows of one reel."""
        return tuple(row for row in self.sheets if row.reel == reel)

    def own_stocks(self) -> Mapping[str, Stock]:
        """The owner's own rows of the stocks table; Refused where one of them makes no sense."""
        rows = self.of_kind("stock")
        if not rows:
            return {}
        from core.tape.own_stocks import own_rows

        try:
            return own_rows(rows)
        except ValueError as error:
            raise Refused(f"the owner's rows of the stocks table: {error}: import a better row") from error

    def transferable(self) -> Iterator[Reel]:
        """Every reel but the calibration reels."""
        return (reel for reel in self.reels.values() if not reel.calibration)
