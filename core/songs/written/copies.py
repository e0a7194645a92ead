"""Which track was copied from which: reading ``copied_from``, and the rows that tell of a source.

A node is a track of a reel as far as it carries one song: one reel holds several songs, and each has rows of
its own for the same track.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from core.songs.song import SheetRow
from core.songs.written.dates import certainly_before
from core.songs.written.part_names import folded_take

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
