"""The places on tapes that no sheet tells of: stretches that sound, spans of songs, tapes not played."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from core.as_json import Record
from core.errors import Unusable
from core.findings import Strip
from core.reels.reel import Reel
from core.sheets.papers import Paper, by_sheet
from core.sheets.stretch import Stretch, first_dates, pieces
from core.sheets.stretches import Levels, Sounding, sounding_in, soundings
from core.shelf import Shelf
from core.songs.song import SheetRow, Song
from core.standing.kept_checks import check_key, checks_of
from core.standing.of_songs.other_takes import OtherTake, other_takes
from core.standing.of_songs.song_facts import pass_begins
from core.values import dataclass

PLACES: Final = "sheet place"
"""The kind of record that keeps what the owner decided of a sheet."""


@dataclass(frozen=True, slots=True)
class Tape:
    """One reel with what sounds on it, the sheets that it has, and the stretches that have none."""

    reel: Reel
    soundings: tuple[Sounding, ...]
    sheets: Mapping[str, tuple[SheetRow, ...]]
    bare: tuple[Stretch, ...]
    lost: str = ""
    """A sentence where its kept levels cannot be read."""
    unspanned: tuple[Stretch, ...] = ()
    """Of a tape with sheets that name no song, or with several stretches, those of no song's span."""


def tapes(shelf: Shelf) -> tuple[Tape, ...]:
    """Every tape that could have a sheet, in the shelf's order."""
    by_reel: dict[str, list[SheetRow]] = {}
    for row in shelf.sheets:
        if row.reel:
            by_reel.setdefault(row.reel, []).append(row)
    needed: dict[str, list[Song]] = {}
    for song in shelf.songs.values():
        for key in dict.fromkeys(need.reel for need in song.needs):
            needed.setdefault(key, []).append(song)
    return tuple(
        _tape(shelf, reel, by_reel.get(reel.key, ()), needed.get(reel.key, ()))
        for reel in shelf.transferable()
    )


def _tape(shelf: Shelf, reel: Reel, rows: Sequence[SheetRow], songs: Sequence[Song]) -> Tape:
    sheets = by_sheet(rows)
    levels, lost = levels_on(shelf, reel)
    found = soundings(levels)
    papers = [Paper(key, mine) for key, mine in sheets.items()]
    texts = pieces(reel.box_label, reel.contents)
    blank = Stretch(
        reel.key, tracks=reel.tracks, texts=texts,
        dates=first_dates(papers, (reel.box_label, reel.contents, reel.notes)),
        players=frozenset().union(*(paper.players for paper in papers)),
    )  # fmt: skip
    covered = [_span_of(shelf, key, mine) for key, mine in sheets.items()]
    bare = [
        replace(blank, start=one.start, end=one.end, sounding=one.tracks, heard=one.heard)
        for one in found if not any(_covers(span, one.start, one.end) for span in covered)
    ]  # fmt: skip
    told = {row.song for row in rows}
    without = [song for song in songs if song.key not in told]
    takes = [one for one in other_takes(shelf) if one.reel == reel.key]
    bare = [_sounding_like(one, takes, shelf) for one in bare]
    bare = [_heard_in(one, levels) for one in _with_songs(bare, blank, without, reel.key)]
    if not found and not bare:
        bare = [blank]  # what else is on a tape that was not played, nobody can say
    named = any(row.song for row in rows)
    spans = [*_spans_told(songs, reel.key), *(span for span in covered if span is not None)]
    unspanned = [
        _sounding_like(
            replace(blank, start=one.start, end=one.end, sounding=one.tracks, heard=one.heard), takes, shelf
        )
        for one in found if sheets and (len(found) > 1 or not (named or songs))
        and not any(_covers(span, one.start, one.end) for span in spans)
        and not any(place.start is not None and _same(place, one.start, one.end) for place in bare)
    ]  # fmt: skip
    return Tape(reel, found, sheets, tuple(bare), lost, tuple(unspanned))


def _spans_told(songs: Sequence[Song], reel: str) -> Iterator[tuple[float, float]]:
    for song in songs:
        for need in song.needs:
            if need.reel == reel and need.start is not None and need.end is not None:
                yield float(need.start), float(need.end)


def _sounding_like(place: Stretch, takes: Sequence[OtherTake], shelf: Shelf) -> Stretch:
    """The stretch with the song that sound told of it."""
    for one in takes:
        if (
            place.start is not None
            and abs(place.start - one.start) < 1
            and abs((place.end or 0) - one.end) < 1
        ):
            return replace(place, take_of=one.song, take=one.words(shelf.songs.get(one.song)))
    return place


def _heard_in(place: Stretch, levels: Sequence[Levels]) -> Stretch:
    """A song's span with what sounds in it, where it is captured and no stretch of its own."""
    if place.heard or place.start is None or place.end is None:
        return place
    found = sounding_in(levels, place.start, place.end)
    return place if found is None else replace(place, sounding=found.tracks, heard=found.heard)


def _with_songs(bare: list[Stretch], blank: Stretch, songs: Sequence[Song], reel: str) -> Iterator[Stretch]:
    """The bare stretches with the songs whose place they are, and a place of its own for each other song."""
    rest: list[Stretch] = []
    for song in songs:
        need = song.span_on(reel)
        titles = (song.title,) if song.title else ()
        if need is None or need.start is None or need.end is None:
            heard = [n for n, one in enumerate(bare) if one.heard and not one.spanned]
            for n in heard:
                bare[n] = replace(bare[n], songs=(*bare[n].songs, song.key))
            if not heard:
                rest.append(replace(blank, songs=(song.key,), titles=titles))
            continue
        start, end = float(need.start), float(need.end)
        there = next((n for n, one in enumerate(bare) if _same(one, start, end)), None)
        if there is None:
            rest.append(replace(blank, start=start, end=end, songs=(song.key,), spanned=True, titles=titles))
        else:
            bare[there] = replace(bare[there], songs=(song.key,), spanned=True, titles=titles)
    yield from bare
    yield from rest


def _same(one: Stretch, start: float, end: float) -> bool:
    return one.start is not None and one.end is not None and _covers((start, end), one.start, one.end)


def _covers(span: tuple[float, float] | None, start: float, end: float) -> bool:
    """True where a span takes in half of the shorter; a sheet without a span covers its whole tape."""
    if span is None:
        return True
    shared = min(span[1], end) - max(span[0], start)
    return shared >= 0.5 * min(span[1] - span[0], end - start)


def _span_of(shelf: Shelf, sheet: str, rows: Sequence[SheetRow]) -> tuple[float, float] | None:
    """Where a sheet's song lies on its tape: as decided, else as the song needs it, else not told."""
    kept = shelf.of_kind(PLACES).get(sheet) or {}
    if kept.get("from") is not None and kept.get("reel") == rows[0].reel:
        return float(kept["from"]), float(kept["to"])
    spans = []
    for key in dict.fromkeys(row.song for row in rows if row.song):
        song = shelf.songs.get(key)
        need = song.span_on(rows[0].reel) if song is not None else None
        if need is None or need.start is None or need.end is None:
            return None
        spans.append((float(need.start), float(need.end)))
    return (min(a for a, _ in spans), max(b for _, b in spans)) if spans else None


def levels_on(shelf: Shelf, reel: Reel) -> tuple[list[Levels], str]:
    """The kept levels of a tape's passes, and a sentence where some cannot be read."""
    strips = shelf.of_kind("strip")
    begins = pass_begins(shelf, reel.key)
    clocks = frozenset([reel.timecode_track] if reel.timecode_track else [])
    levels, lost = [], ""
    for number, check in checks_of(shelf, reel.key).items():
        key = check_key(reel.key, number)
        if key not in strips:
            continue
        try:
            strip = Strip.from_json(strips[key])
        except (Unusable, ValueError, KeyError) as error:
            lost = f"{reel.key}: the kept levels cannot be read, check its files again: {error}"
            continue
        levels.append(Levels(strip, begins.get(number, 0.0), clocks | _code_tracks(check)))
    return levels, lost


def _code_tracks(check: Record) -> frozenset[int]:
    return frozenset(int(code["track"]) for code in check.get("timecode", ()) if code.get("runs"))
