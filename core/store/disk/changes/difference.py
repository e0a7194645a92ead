"""What a change changed: rows of old and new by comparing two shelves."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace

from core.shelf import Shelf
from core.store.disk.changes.rows_changed import RESULTS, Row, grouped_rows, keyed_rows, record_rows, text_of
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.text import studio_tables

#: The columns of a reel that hold a point in time.
_MOMENTS = tuple(column.attribute for column in REELS.columns.values() if column.time)


def differences(old: Shelf, new: Shelf, *, whole: bool = False) -> list[Row]:
    """Everything that differs between two shelves, history apart; ``whole``: results in full."""
    rows = [*_studio(old, new)]
    rows += keyed_rows("reel", REELS, old.reels, new.reels)
    rows += keyed_rows("song", SONGS, old.songs, new.songs)
    rows += grouped_rows("sheet", SHEETS, old.sheets, new.sheets)
    rows += grouped_rows("segment", SEGMENTS, old.segments, new.segments)
    rows += record_rows(old.records, new.records, () if whole else RESULTS)
    return rows


def to_the_minute(old: Shelf, new: Shelf) -> Shelf:
    """The new shelf with the moments of its changed reels cut to the minute, as files write them."""
    if old.reels is new.reels:
        return new
    cut = {}
    for key, reel in new.reels.items():
        if old.reels.get(key) is reel:
            continue
        finer = {
            name: moment.replace(second=0, microsecond=0)
            for name in _MOMENTS
            if (moment := getattr(reel, name)) is not None and (moment.second or moment.microsecond)
        }
        if finer:
            cut[key] = replace(reel, **finer)
    return replace(new, reels={**new.reels, **cut}) if cut else new


def _studio(old: Shelf, new: Shelf) -> Iterator[Row]:
    if old.studio is new.studio or old.studio == new.studio:
        return
    before, after = studio_tables(old.studio), studio_tables(new.studio)
    for name in dict.fromkeys([*before, *after]):
        if before.get(name) != after.get(name):
            yield Row("studio", name, "tables", text_of(before.get(name)), text_of(after.get(name)))


def value_of(text: str) -> object:
    """What such a text holds; the order of its keys does not count."""
    return json.loads(text) if text else None


def can_be_undone(row: Row) -> bool:
    """True for rows that say all that is needed to turn them round."""
    return row.field not in ("result", "restored")
