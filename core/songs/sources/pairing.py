"""Rows that are one carrier: the two sides of a stereo bounce; and which are mixes of what is not known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from core.songs.song import SheetRow
from core.songs.sources.recordings import Carrier
from core.songs.written.copies import copied_tracks, of_unknown_source
from core.songs.written.part_names import Equals, folded, folded_take, sided


def tells_no_source(row: SheetRow) -> bool:
    """True for a first recording, and for a copy of what is not known and nothing else."""
    return not row.copied_from or (
        of_unknown_source(row.copied_from) and not any(copied_tracks(row.copied_from))
    )


_MIX_WORDS = frozenset(
    ("mix", "mixed", "mixdown", "master", "stereo", "mono", "rough", "final", "old", "full", "left", "right",
     "l", "r", "a", "b", "side", "the", "song", "2", "1")
)  # fmt: skip


def is_mix_of_unknown(row: SheetRow) -> bool:
    """True for a row of a mix reel that names no track it was mixed from: ``mix left``, or nothing at all."""
    words = folded(row.part).replace("-", " ").split()
    return tells_no_source(row) and all(word in _MIX_WORDS for word in words)


def paired(alone: Sequence[Carrier], equals: Equals) -> list[Carrier]:
    """Carriers with the two tracks of a stereo bounce put together.

    Copies on one reel that hold the same are the two sides of one where their names say left and right, or
    where they are called alike and hold more than one track could.
    """
    groups: dict[tuple[object, ...], list[Carrier]] = {}
    for number, one in enumerate(alone):
        row = one.rows[0]
        base, side = sided(row.part, equals)
        copied = row.reel and ((one.generation and side) or len(one.atoms) > 1 or one.of_unknown)
        key: tuple[object, ...] = (number,)
        if copied:
            key = (row.reel, row.sheet, base, folded_take(row.take), one.atoms, row.recorded_over)
        groups.setdefault(key, []).append(one)
    out = []
    for group in groups.values():
        tracks = {one.tracks for one in group}
        if len(group) == 1 or len(tracks) != len(group):
            out += group
        else:
            rows = tuple(sorted((one.rows[0] for one in group), key=lambda row: row.track or 0))
            generation = max(one.generation for one in group)
            doubt = any(one.in_doubt for one in group)
            out.append(replace(group[0], rows=rows, generation=generation, in_doubt=doubt))
    return out
