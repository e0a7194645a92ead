"""Keys that the rows of a sheet name and the shelf has not yet: told in one line, and no fault."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.shelf import Shelf
from core.songs.written.copies import copied_tracks
from core.store.rows.columns import shown
from core.store.rows.tables import SHEETS

if TYPE_CHECKING:
    from core.store.rows.csv_text import Sheet


def not_there_told(sheet: Sheet, shelf: Shelf) -> Iterator[str]:
    """One line on a file's keys of reels and songs that the shelf has not; nothing where it has them all."""
    if sheet.table is not SHEETS:
        return
    missing: dict[str, int] = {}
    for line in sheet.lines:
        named = [("reel", line.cells.get(column, "").strip()) for column in ("reel", "found_in")]
        named.append(("song", line.cells.get("song", "").strip()))
        named += [("reel", reel) for reel, _ in copied_tracks(line.cells.get("copied_from", ""))]
        for kind, key in named:
            there = shelf.reels if kind == "reel" else shelf.songs
            if key and key not in there:
                missing.setdefault(f"{kind} {shown(key)[1:-1]}", line.number)
    if missing:
        first = ", ".join(f"{name} in row {number}" for name, number in list(missing.items())[:3])
        more = ", ..." if len(missing) > 3 else ""
        one = len(missing) == 1
        yield (
            f"{sheet.file}: {len(missing)} {'key is' if one else 'keys are'} not on the shelf "
            f"({first}{more}): kept, {'it' if one else 'they'} may come later"
        )
