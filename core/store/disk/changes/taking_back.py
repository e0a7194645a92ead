"""A change turned round, and what of it can still be taken back where other changes came after."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from typing import Any, cast

from core.errors import Stale
from core.logbook.noted import NOTE, TAKES_BACK
from core.reels.reel import Segment
from core.shelf import Event, RecordKind, Shelf
from core.songs.song import SheetRow
from core.store.disk.changes.difference import can_be_undone, value_of
from core.store.disk.changes.rows_changed import PLACE, RENAMED, Row, flat, text_of
from core.store.disk.changes.undo import Change
from core.store.rows.columns import Reading, shown
from core.store.rows.table import Rowed, Table, document, from_document
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.studio_toml import read_studio
from core.store.studio.text import studio_tables


def turned_round(shelf: Shelf, rows: Iterable[Row], reading: Reading) -> Shelf:
    """The shelf with those rows taken back, the last first; Stale where something was changed since."""
    for row in reversed(list(rows)):
        if row.field == RENAMED:
            shelf = _named_back(shelf, row)
        elif row.field == PLACE:
            shelf = _placed_back(shelf, row)
        elif can_be_undone(row) and row.field != NOTE:  # a note stands in history alone
            shelf = _TAKE_BACK.get(row.kind, _take_back_record)(shelf, row, reading)
    return shelf


def notes_turned(change: Change, at: datetime) -> tuple[Event, ...]:
    """Rows that tell of that change's notes that they are taken back, or stand again; the notes stay."""
    notes = (row for row in change.rows if row.field == NOTE)
    back = ((TAKES_BACK, str(change.number)),)
    return tuple(Event(at, one.kind, one.key, NOTE, one.new, one.old, extra=back) for one in notes)


def _placed_back(shelf: Shelf, row: Row) -> Shelf:
    """What was taken off and came back stands where it stood."""
    place = int(row.old)
    if row.kind in ("reel", "song"):
        values: dict[str, Any] = dict(shelf.reels if row.kind == "reel" else shelf.songs)
        mine = {row.key: values.pop(row.key)} if row.key in values else {}
        items = list(values.items())
        values = dict([*items[:place], *mine.items(), *items[place:]])
        return replace(shelf, reels=values) if row.kind == "reel" else replace(shelf, songs=values)
    rows: tuple[Any, ...] = shelf.sheets if row.kind == "sheet" else shelf.segments
    attribute = "sheet" if row.kind == "sheet" else "reel"
    own = [one for one in rows if getattr(one, attribute) == row.key]
    others = [one for one in rows if getattr(one, attribute) != row.key]
    made = (*others[:place], *own, *others[place:])
    return replace(shelf, sheets=made) if row.kind == "sheet" else replace(shelf, segments=made)


def _named_back(shelf: Shelf, row: Row) -> Shelf:
    from core.errors import Refused
    from core.shelving.rename import kinds_of, renamed

    kind = next(kind for kind in ("reel", "song", "sheet") if kind == row.kind)
    if kind not in kinds_of(shelf, row.new):
        raise Stale(f"{row.kind} {row.new} is not there any more: it cannot be called {row.old} again")
    try:
        return renamed(shelf, kind, row.new, row.old)
    except Refused as error:
        raise Stale(str(error)) from None


def _stale(row: Row, there: str) -> Stale:
    return Stale(
        f"{row.kind} {row.key}: {row.field} is {shown(there)} now and no longer {shown(row.new)}: "
        "changed since, so that change cannot be taken back by itself"
    )


def _take_back_keyed(kind: str, table: Table[Rowed], shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    values: dict[str, Any] = dict(shelf.reels if kind == "reel" else shelf.songs)
    there = values.get(row.key)
    if row.field == "added":
        if there is None or document(table, there) != value_of(row.new):
            raise _stale(row, "" if there is None else text_of(document(table, there)))
        del values[row.key]
    elif row.field == "removed":
        if there is not None:
            raise _stale(row, "there")
        values[row.key] = from_document(table, json.loads(row.old), reading)
    else:
        if there is None:
            raise Stale(f"{kind} {row.key} is not there any more")
        cells = flat(table, there)
        if cells.get(row.field, "") != row.new:
            raise _stale(row, cells.get(row.field, ""))
        cells[row.field] = row.old
        known = {name: text for name, text in cells.items() if text and not name.startswith("+")}
        extra = {name[1:]: text for name, text in cells.items() if text and name.startswith("+")}
        values[row.key] = table.value(known, extra, reading)
    return replace(shelf, reels=values) if kind == "reel" else replace(shelf, songs=values)


def _take_back_grouped(kind: str, table: Table[Rowed], shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    values: tuple[Rowed, ...] = shelf.sheets if kind == "sheet" else shelf.segments
    attribute = table.columns[table.needed[0]].attribute
    mine = [at for at, value in enumerate(values) if getattr(value, attribute) == row.key]
    there = [document(table, values[at]) for at in mine] or None
    if there != value_of(row.new):
        raise _stale(row, text_of(there))
    place = mine[0] if mine else len(values)
    others = [value for value in values if getattr(value, attribute) != row.key]
    back = [from_document(table, one, reading) for one in (json.loads(row.old) if row.old else ())]
    made = (*others[:place], *back, *others[place:])
    if kind == "sheet":
        return replace(shelf, sheets=tuple(one for one in made if isinstance(one, SheetRow)))
    return replace(shelf, segments=tuple(one for one in made if isinstance(one, Segment)))


def _take_back_studio(shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    tables = studio_tables(shelf.studio)
    if tables.get(row.key) != value_of(row.new):
        raise _stale(row, text_of(tables.get(row.key)))
    if row.old:
        tables[row.key] = json.loads(row.old)
    else:
        tables.pop(row.key, None)
    return replace(shelf, studio=read_studio(tables, reading.quantity, kept=True))


def _take_back_record(shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    kind = cast("RecordKind", row.kind)  # as it was written
    there = shelf.of_kind(kind).get(row.key)
    if there != value_of(row.new):
        raise _stale(row, text_of(there))
    return shelf.with_record(kind, row.key, json.loads(row.old) if row.old else None)


_TAKE_BACK = {
    "reel": lambda shelf, row, reading: _take_back_keyed("reel", REELS, shelf, row, reading),
    "song": lambda shelf, row, reading: _take_back_keyed("song", SONGS, shelf, row, reading),
    "sheet": lambda shelf, row, reading: _take_back_grouped("sheet", SHEETS, shelf, row, reading),
    "segment": lambda shelf, row, reading: _take_back_grouped("segment", SEGMENTS, shelf, row, reading),
    "studio": _take_back_studio,
}
