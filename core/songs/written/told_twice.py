"""Sheets that tell different things of one track."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.songs.written.part_names import folded, folded_take

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from core.songs.song import SheetRow


def told_twice(rows: Sequence[SheetRow]) -> Iterator[str]:
    """Tracks of which two sheets tell different things: one track sounds one thing."""
    by_track: dict[tuple[str, int], list[SheetRow]] = {}
    for row in rows:
        if row.reel and row.track is not None:
            by_track.setdefault((row.reel, row.track), []).append(row)
    for (reel, track), every in by_track.items():
        if len(every) < 2:
            continue
        same = {_says(row) for row in every if row.recorded_over}
        live = [row for row in every if not row.recorded_over]
        told = every if any(_says(row) in same for row in live) else live
        says = {(*_says(row), row.recorded_over): row for row in told}
        if len({row.sheet for row in told}) > 1 and len(says) > 1:
            what = "; ".join(
                f"sheet {row.sheet}: {row.part or 'not named'}"
                + (f", take {row.take}" if row.take else "")
                + (f", copied from {row.copied_from}" if row.copied_from else "")
                + (", recorded over" if row.recorded_over else "")
                for row in says.values()
            )
            yield f"{reel}:{track} is told in two ways ({what}): mend the sheet that is wrong"


def told_otherwise(sheets: Iterable[SheetRow], rows: Sequence[SheetRow]) -> list[str]:
    """The sheets that tell something else of a track that these rows tell of, for the same song."""
    mine = {(row.reel, row.track, row.song): _says(row) for row in rows if not row.recorded_over}
    return list(dict.fromkeys(
        row.sheet for row in sheets
        if not row.recorded_over and _says(row) != mine.get((row.reel, row.track, row.song), _says(row))
    ))  # fmt: skip


def _says(row: SheetRow) -> tuple[str, str, str]:
    return folded(row.part), folded_take(row.take), row.copied_from.replace(" ", "")
