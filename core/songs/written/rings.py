"""What track sheets tell of copies that cannot be: rings of them, and tracks that a tape does not have."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

from core.reels.reel import Reel
from core.songs.song import SheetRow
from core.songs.written.copies import Node, Tracks, copied_tracks
from core.words import counted


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
                wrong = f"{row_words(row)} is copied from {reel}:{track}, which has {source.tracks}"
                yield row, f"{wrong}: give the right track in copied_from"
