"""What the sheets of a song contradict or leave open among themselves: a line each, with what would do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.songs.parts import track_labels
from core.songs.song import SheetRow
from core.songs.sources.weighed import Facts
from core.songs.sources.what_to_use import Choice
from core.songs.written.copies import Tracks, copied_tracks, of_unknown_source
from core.songs.written.dates import certainly_before, several_dates
from core.songs.written.likeness import likely_equal, may_be_one
from core.songs.written.part_names import folded_take, is_timecode
from core.songs.written.rings import copies_that_cannot_be, row_words
from core.songs.written.told_twice import told_twice
from core.words import listed

_MOST_ALIKE = 8
"""Pairs of names that are told one by one."""


def sheets_open(facts: Facts, choice: Choice) -> Iterator[str]:
    """Every such point."""
    tracks = Tracks(facts.sheets)
    mine = [row for row in facts.sheets if row.song == facts.song.key]
    yield from _mixes_of_unknown(choice)
    yield from _by_copies_alone(choice, mine)
    yield from _of_unknown_sources(choice)
    yield from _of_which_time(facts, tracks)
    yield from _called_otherwise(facts, tracks)
    yield from _no_song(facts)
    for row in choice.recorded.nameless:
        yield f"{row_words(row)}: nobody named the part: write it on the sheet"
    for _, words in copies_that_cannot_be(mine, facts.reels):
        yield words
    yield from told_twice(mine)
    yield from _several_dates(mine)
    yield from _sources_elsewhere(facts)
    yield from _older_copies(facts, tracks)
    yield from _alike(facts)


def _mixes_of_unknown(choice: Choice) -> Iterator[str]:
    """Mixes of which no sheet tells what they were mixed from."""
    labels = [one.carrier.label for one in choice.weighed if one.carrier.of_unknown and one.carrier.reel]
    if labels and any(not one.carrier.of_unknown for one in choice.weighed):
        their = "what they were" if len(labels) > 1 else "what it was"
        yield (
            f"{listed(labels)}: no sheet tells {their} mixed from, so that all of the song may be in it: "
            "write copied_from"
        )


def _by_copies_alone(choice: Choice, mine: Sequence[SheetRow]) -> Iterator[str]:
    """Tracks that only their copies tell of, once a tape, and a loose sheet that may be theirs."""
    tracks: dict[str, set[int]] = {}
    for one in choice.weighed:
        if not one.carrier.written and not one.carrier.elsewhere:
            tracks.setdefault(one.carrier.reel, set()).update(one.carrier.tracks)
    loose = {row.sheet: {r.track for r in mine if r.sheet == row.sheet} for row in mine if not row.reel}
    for reel, told in tracks.items():
        labels = track_labels(sorted((reel, track) for track in told))
        sheets = [sheet for sheet, written in loose.items() if told <= written]
        may = "write its sheet"
        if sheets:
            may = f"{listed(sheets)} may be its sheet, what is on both then sounds twice: "
            may += f"reelturn papers {sheets[0]} {reel} puts it there"
        yield f"copies alone tell of {labels}, and no sheet of this song is on {reel}: {may}"


def _of_which_time(facts: Facts, tracks: Tracks) -> Iterator[str]:
    """Copies of a track that carried one thing after another, where no date tells which they are of."""
    for row in facts.sheets:
        sources = tracks.sources(row) if row.copied_from and row.song == facts.song.key else {}
        for (reel, track), found in sources.items():
            gone = [one.part for one in found if one.recorded_over]
            there = [one.part for one in found if not one.recorded_over]
            if gone and there:
                yield (
                    f"{row.label} is copied from {reel}:{track}, which carried {listed(gone)} and later "
                    f"{listed(there)}: date the sheets of both, so that it is known which it is of"
                )


def _of_unknown_sources(choice: Choice) -> Iterator[str]:
    """What is used and was copied from what is not known, in one line."""
    rows = [
        row for n in sorted(choice.used) for row in choice.weighed[n].carrier.rows
        if of_unknown_source(row.copied_from) and not choice.weighed[n].carrier.of_unknown
    ]  # fmt: skip
    if rows:
        told = ", ".join(f"{row.label} {' '.join(row.part.split())}".strip() for row in rows)
        they, them = ("they", "them") if len(rows) > 1 else ("it", "it")
        yield (
            f"{told}: copied from what is not known, {they} may hold what is used beside {them}: "
            "write copied_from, or listen"
        )


def _called_otherwise(facts: Facts, tracks: Tracks) -> Iterator[str]:
    """Copies of one track that go by another name or take than that has."""
    for row in facts.sheets:
        if not row.copied_from or row.song != facts.song.key:
            continue
        sources = tracks.sources(row)
        if len(sources) != 1 or not row.part.strip() or of_unknown_source(row.copied_from):
            continue
        ((track, found),) = sources.items()
        written = [one for one in found if one.part.strip() and not is_timecode(one.part)]
        if not written or is_timecode(row.part):
            continue
        label, source = f"{track[0]}:{track[1]}", written[0]
        if not any(may_be_one(row.part, one.part, facts.equals) for one in written):
            yield (
                f"{row.label} is called {row.part}, and {label}, which it was copied from, {source.part}: "
                "mend one of the two rows, or say that the names are one part"
            )
        elif row.take and all(one.take and folded_take(one.take) != folded_take(row.take) for one in written):
            yield (
                f"{row.label} {row.part} is take {row.take}, and {label}, which it was copied from, take "
                f"{source.take}: mend one of the two rows"
            )


def _no_song(facts: Facts) -> Iterator[str]:
    """Sheets of the song's tapes that name no song, once a sheet: what they tell is on no parts list."""
    needed = {need.reel for need in facts.song.needs}
    sheets: dict[str, list[SheetRow]] = {}
    for row in facts.sheets:
        if not row.song and row.reel in needed and row.part.strip() and not is_timecode(row.part):
            sheets.setdefault(row.sheet, []).append(row)
    for sheet, rows in sheets.items():
        parts = ", ".join(dict.fromkeys(" ".join(row.part.split()) for row in rows))
        yield (
            f"sheet {sheet} on {rows[0].reel} names no song ({parts}): where it is this one, "
            f"reelturn set {sheet} song={facts.song.key}"
        )


def _sources_elsewhere(facts: Facts) -> Iterator[str]:
    """Copies of tapes that are not on the shelf, once a tape."""
    rows: dict[str, list[str]] = {}
    for row in facts.sheets:
        if row.song == facts.song.key:
            for reel, _ in copied_tracks(row.copied_from):
                if reel not in facts.reels:
                    rows.setdefault(reel, []).append(row.label)
    for reel, labels in rows.items():
        yield f"{', '.join(dict.fromkeys(labels))}: copied from {reel}, which is not on the shelf"


def _older_copies(facts: Facts, tracks: Tracks) -> Iterator[str]:
    told: set[tuple[str, str]] = set()
    for row in facts.sheets:
        if row.song != facts.song.key or not row.date or not row.copied_from:
            continue
        for found in tracks.sources(row).values():
            for source in found:
                pair = (row.sheet, source.sheet)
                if source.date and pair not in told and certainly_before(row.date, source.date):
                    told.add(pair)
                    yield (
                        f"{row_words(row)} of {row.date} is a copy of {row_words(source)} of {source.date}: "
                        "a copy is not older than its source, mend a date or copied_from"
                    )


def _several_dates(rows: Sequence[SheetRow]) -> Iterator[str]:
    """Sheets whose rows tell several dates."""
    sheets: dict[str, dict[str, None]] = {}
    for row in rows:
        if row.date.strip():
            sheets.setdefault(row.sheet, {})[" ".join(row.date.split())] = None
    for sheet, dates in sheets.items():
        if len(dates) > 1:
            yield several_dates(sheet, tuple(dates))


def _alike(facts: Facts) -> Iterator[str]:
    """Names that may be one part: of different sheets, since two names on one sheet are two parts."""
    rows = [
        row for row in facts.sheets if row.song == facts.song.key and row.part.strip() and not row.copied_from
    ]
    sheets: dict[str, set[str]] = {}
    for row in rows:
        sheets.setdefault(" ".join(row.part.split()), set()).add(row.sheet)
    found = list(likely_equal(sheets, facts.equals))
    for one, other in found[:_MOST_ALIKE]:
        yield f"{one!r} and {other!r} may be one part: reelturn use {facts.song.key} --same says so"
    if len(found) > _MOST_ALIKE:
        yield f"{len(found) - _MOST_ALIKE} more pairs of names may be one part each: mend these first"
