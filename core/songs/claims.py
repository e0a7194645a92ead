"""What sheets claim of copies, and what sound says: copies, parts of a bounce, one playing on two tapes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from core.as_json import Record
from core.songs.song import SheetRow
from core.songs.written.copies import Track, copied_tracks
from core.songs.written.part_names import folded, folded_take, is_timecode
from core.values import dataclass

Heard = Literal["same", "not", "open", "unwritten"]
"""Sounds so; does not; cannot be told (too little sounds there); sounds the same though no sheet says so."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Two tracks of two tapes that the sheets make one sound."""

    copy: Track
    source: Track
    written: bool = True
    """False where no sheet says *copy*: both have the same part and take at first hand."""


@dataclass(frozen=True, slots=True)
class Sounded:
    """What sound says of two tracks: the later one first, where a sheet tells which that is."""

    copy: Track
    source: Track
    heard: Heard
    polarity: int = 1
    says: str = ""


def claims(rows: Sequence[SheetRow]) -> Iterator[Claim]:
    """Every claim that two captures could prove; of a track recorded over, nothing is left to hear."""
    mine = [row for row in rows if row.reel and row.track is not None and not row.recorded_over]
    gone = {(row.reel, row.track) for row in rows if row.recorded_over}
    music = [row for row in mine if not is_timecode(row.part)]
    for row in music:
        for source in dict.fromkeys(copied_tracks(row.copied_from)):
            if source[0] != row.reel and source not in gone:
                yield Claim(_track(row), source)
    firsts: dict[tuple[str, str], list[SheetRow]] = {}
    for row in music:
        if row.part.strip() and not row.copied_from:
            firsts.setdefault((folded(row.part), folded_take(row.take)), []).append(row)
    for alike in firsts.values():
        if len({row.reel for row in alike}) < len(alike):
            continue  # the two tracks of a pair: which is which the names do not tell
        for number, row in enumerate(alike):
            yield from (
                Claim(_track(other), _track(row), written=False)
                for other in alike[number + 1 :]
                if other.reel != row.reel
            )


def _track(row: SheetRow) -> Track:
    return row.reel, row.track or 0


def sounded_of(record: Record) -> Iterator[Sounded]:
    """What is kept of two captures; raises ValueError, KeyError or TypeError for anything else."""
    one, two = str(record["one"]["reel"]), str(record["two"]["reel"])
    for told in record["heard"]:
        first, second = told["tracks"]
        copy, source = (one, int(first)), (two, int(second))
        if told.get("turned"):
            copy, source = source, copy
        yield Sounded(copy, source, told["heard"], int(told.get("polarity", 1)), str(told.get("says", "")))


def sound_points(rows: Sequence[SheetRow], sounded: Iterable[Sounded]) -> Iterator[str]:
    """A line for each claim that sound denies, each copy that is opposed, each that nobody wrote down."""
    found = {(one.copy, one.source): one for one in sounded}
    named = {_track(row): row.part for row in rows if row.reel and row.track is not None}
    every = tuple(dict.fromkeys(claims(rows)))
    opposed: dict[Track, list[Track]] = {}
    for claim in every:
        heard = found.get((claim.copy, claim.source)) or found.get((claim.source, claim.copy))
        if heard is not None and claim.written and heard.heard == "same" and heard.polarity < 0:
            opposed.setdefault(claim.copy, []).append(claim.source)
        elif heard is not None:
            bounce = sum(one.copy == claim.copy for one in every) > 1
            yield from _denied(claim, heard, named, bounce=bounce)
    for track, sources in opposed.items():
        told = ", ".join(_named(one, named) for one in sources)
        yield f"{_named(track, named)} is opposed to {told}: turn one of the two before they are mixed"
    for one in found.values():
        if one.heard == "unwritten":
            both = f"{_named(one.copy, named)} and {_named(one.source, named)}"
            yield (
                f"{both} sound the same ({one.says}), and no sheet says so: "
                "where one is a copy write copied_from"
            )


def _denied(claim: Claim, heard: Sounded, named: Mapping[Track, str], *, bounce: bool) -> Iterator[str]:
    copy, source = (_named(one, named) for one in (claim.copy, claim.source))
    if not claim.written:
        if heard.heard == "same":
            yield f"{copy} and {source} sound the same: where one is a copy write copied_from"
        elif heard.heard == "not":
            yield f"{copy} and {source} are two playings by their sound: give each its take"
    elif heard.heard == "not":
        said = (
            f"{source} is not heard in {copy}, which is told to hold it"
            if bounce
            else f"{copy} is told to be a copy of {source} and does not sound like it"
        )
        yield f"{said} ({heard.says}): mend copied_from, or listen to both"


def _named(track: Track, named: Mapping[Track, str]) -> str:
    part = " ".join(named.get(track, "").split())
    return f"{track[0]}:{track[1]} {part}".strip()
