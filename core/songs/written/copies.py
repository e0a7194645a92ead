"""Which track was copied from which: reading ``copied_from``, the order of copying, rings, what cannot be.

A node is a track of a reel as far as it carries one song: one reel holds several songs, and each has rows of
its own for the same track.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter

from core.reels.reel import Reel
from core.songs.song import SheetRow
from core.songs.written.dates import certainly_before
from core.songs.written.part_names import folded_take
from core.words import counted

Track = tuple[str, int]
Node = tuple[str, int, str]
"""Reel, track, song."""
UNKNOWN = "?"


def copied_tracks(text: str) -> Iterator[Track]:
    """The reel and each of the tracks that ``R-001:3-8; R-002:1; ?`` names; an unknown source names none."""
    return iter(_copied(text) if text else ())


@lru_cache(maxsize=20_000)
def _copied(text: str) -> tuple[Track, ...]:
    out: list[Track] = []
    for one in text.split(";"):
        match = re.fullmatch(r"\s*(.+):(\d+)(?:-(\d+))?\s*", one)
        if match:
            first, last = int(match[2]), int(match[3] or match[2])
            out += [(match[1], track) for track in range(first, last + 1)]
    return tuple(out)


def of_unknown_source(text: str) -> bool:
    """True where a source is given as ``?``: copied at least once, from what is not known."""
    return any(one.strip() == UNKNOWN for one in text.split(";"))


class Tracks:
    """Rows found by what they carry: the reel, its track and the song; a row without a song serves any."""

    def __init__(self, rows: Iterable[SheetRow]) -> None:
        self._rows: dict[Node, list[SheetRow]] = {}
        for row in rows:
            if row.reel and row.track is not None:
                self._rows.setdefault((row.reel, row.track, row.song), []).append(row)

    def nodes(self) -> Mapping[Node, Sequence[SheetRow]]:
        """Every track with the rows that tell of it."""
        return self._rows

    def at(self, track: Track, song: str) -> Sequence[SheetRow]:
        """The rows of that track for that song, else those that name no song."""
        found: Sequence[SheetRow] = self._rows.get((*track, song), ())
        return found or self._rows.get((*track, ""), ())

    def sources(self, row: SheetRow) -> dict[Track, Sequence[SheetRow]]:
        """The tracks that a row was copied from, each with the rows that tell of it (none: on no sheet).

        Where one track carries several takes of the song, those of the row's own part are meant.
        """
        return {track: _meant(self.at(track, row.song), row) for track in copied_tracks(row.copied_from)}


def _meant(found: Sequence[SheetRow], row: SheetRow) -> Sequence[SheetRow]:
    if len(found) < 2:
        return found
    part = row.part.casefold().strip()
    same = [one for one in found if one.part.casefold().strip() == part]
    taken = [one for one in same if folded_take(one.take) == folded_take(row.take)] if row.take else same
    return taken or same or _of_its_time(found, row)


def _of_its_time(found: Sequence[SheetRow], row: SheetRow) -> Sequence[SheetRow]:
    """Of what a track carried one after the other, that which it carried when the copy was made, by dates."""
    gone = [one for one in found if one.recorded_over]
    there = [one for one in found if not one.recorded_over]
    if not gone or not there:
        return found
    if all(certainly_before(row.date, one.date) for one in there):
        return gone
    return there if all(certainly_before(one.date, row.date) for one in there) else found


def _graph(tracks: Tracks) -> dict[Node, set[Node]]:
    """Every copied track with the tracks that it came from."""
    graph: dict[Node, set[Node]] = {}
    for node, rows in tracks.nodes().items():
        for row in rows:
            if row.copied_from:
                older = graph.setdefault(node, set())
                for found in tracks.sources(row).values():
                    older.update((one.reel, one.track or 0, one.song) for one in found)
    return graph


def rings(rows: Sequence[SheetRow], most: int = 5) -> list[tuple[SheetRow, ...]]:
    """Rings of copies, each as its rows in the order of copying; at the most so many, each track in one."""
    tracks = Tracks(rows)
    graph = _graph(tracks)
    out: list[tuple[SheetRow, ...]] = []
    while len(out) < most:
        try:
            TopologicalSorter(graph).prepare()
            break
        except CycleError as error:
            around: list[Node] = error.args[1][:-1]
            out.append(tuple(_copied_row(tracks.nodes()[node]) for node in around))
            for node in around:
                graph.pop(node, None)
                for older in graph.values():
                    older.discard(node)
    return out


def _copied_row(rows: Sequence[SheetRow]) -> SheetRow:
    """Of the rows that tell of one track, one that says what it was copied from."""
    return next((row for row in rows if row.copied_from), rows[0])


def ring_words(ring: Sequence[SheetRow]) -> str:
    """One line that names the rows of a ring and says what would mend it."""
    if len(ring) == 1:
        return f"{row_words(ring[0])} is a copy of itself: empty its copied_from, or name the older track"
    told = [row_words(row) for row in ring[:4]] + (["..."] if len(ring) > 4 else [])
    return (
        f"copies in a ring: {', then '.join(told)}, then the first again: one of them is the oldest, "
        "empty its copied_from"
    )


def row_words(row: SheetRow) -> str:
    """A row as a sentence names it: ``sheet T-01 track 3 (R-001:3)``."""
    track = f" track {row.track}" if row.track is not None else ""
    return f"sheet {row.sheet}{track}" + (f" ({row.label})" if row.reel else "")


def copies_that_cannot_be(
    rows: Iterable[SheetRow], reels: Mapping[str, Reel]
) -> Iterator[tuple[SheetRow, str]]:
    """Rows on a track, or copied from one, that the tape does not have; with what is wrong."""
    for row in rows:
        here = reels.get(row.reel)
        if here is not None and here.tracks and row.track is not None and row.track > here.tracks:
            has = f"{here.key} has {counted(here.tracks, 'track')}"
            yield row, f"{row_words(row)}: {has}: give the right track or reel"
        for reel, track in copied_tracks(row.copied_from):
            source = reels.get(reel)
            if source is not None and source.tracks and track > source.tracks:
                yield (
                    row,
                    (
                        f"{row_words(row)} is copied from {reel}:{track}, which has {source.tracks}: "
                        "give the right track in copied_from"
                    ),
                )
