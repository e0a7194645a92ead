"""Writing a shelf: the first time whole, then only the rows that a change alters."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, MutableMapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, cast

from core.errors import Unusable
from core.quantities import Quantity
from core.shelf import Event, Shelf
from core.store.disk.changes.history import History, Page, with_events
from core.store.disk.records import KindOfRecord, document_of
from core.store.disk.schema import FORMAT, VERSION
from core.store.disk.shelf_file import ROW_TABLES, VALUE_TABLES, Kept, quantities_in, records_in, stamp_of
from core.store.disk.storage import Tables, write_tables
from core.store.rows.columns import Reading
from core.store.rows.table import Rowed, Table, document

if TYPE_CHECKING:
    from tinydb import TinyDB


def empty_tables() -> Tables:
    """The tables of a shelf that holds nothing yet."""
    names = ("quantities", "reels", "songs", "sheets", "segments", "records", "history")
    head = {"format": FORMAT, "version": VERSION, "revision": 0, "studio": {}}
    return {"shelf": {"1": head}, **{name: {} for name in names}}


def write_first(path: Path, shelf: Shelf, events: Sequence[Event]) -> None:
    """Writes a shelf where there was none."""
    tables = empty_tables()
    _put(tables, None, shelf, events, path)
    write_tables(path, tables)


def write_change(
    path: Path, kept: Kept, shelf: Shelf, events: Sequence[Event], *, fresh_history: bool = False
) -> None:
    """Writes the shelf that a change made of the kept one, with its rows of history; keeps a backup first.

    ``kept`` is used up: its tables become those of the new shelf. The lock must be held.
    """
    from core.store.disk.backups import keep_backup

    refuse_if_read_only(path)
    if fresh_history:
        kept.tables["history"] = {}
    _put(kept.tables, kept.shelf, shelf, events, path)
    write_tables(path, kept.tables, before_replacing=lambda: keep_backup(path, kept.shelf.revision))


def after_writing(path: Path, kept: Kept, shelf: Shelf) -> Kept:
    """What reading the file again would give, without reading it; the lock must still be held."""
    fresh = records_in(kept.tables["records"], path)
    before = kept.shelf.records
    same = {
        kind: before[kind] for kind in fresh if kind in before and shelf.records.get(kind) is before[kind]
    }
    history = History(tuple(kept.tables["history"].values()), kept.reading)
    revision = kept.tables["shelf"]["1"]["revision"]
    written = replace(shelf, history=history, records={**fresh, **same}, revision=revision)
    reading = Reading(shelf.studio.zone, kept.reading.quantity, kept=True)
    return Kept(written, kept.tables, reading, stamp_of(path))


def refuse_if_read_only(path: Path) -> None:
    """A shelf without write permission is not replaced, whoever asks."""
    try:
        mode = path.stat().st_mode
    except OSError:
        return
    if not mode & 0o222 or not os.access(path, os.W_OK):
        raise Unusable(
            f"{path}: this shelf is write-protected, nothing was changed: give it write permission first"
        )


def _put(tables: Tables, old: Shelf | None, new: Shelf, events: Sequence[Event], path: Path) -> None:
    """Lays the new shelf's values over the tables, touching only what changed."""
    from core.store.disk.whole_file import database_on
    from core.store.studio.text import studio_tables

    database = database_on(tables)
    seen: list[Quantity] = []
    if old is None or old.studio is not new.studio:
        tables["shelf"]["1"]["studio"] = studio_tables(new.studio)
        seen.extend(quantities_in(new.studio))
    for name, table in VALUE_TABLES:
        _put_keyed(database, name, table, getattr(old, name) if old else {}, getattr(new, name), seen)
    for name, table in ROW_TABLES:
        before, after = getattr(old, name) if old else (), getattr(new, name)
        if before is not after and before != after:
            database.table(name).truncate()
            database.table(name).insert_multiple([document(table, value) for value in after])
            for value in after:
                seen.extend(quantities_in(value))
    _put_records(database, old.records if old else {}, new.records, path)
    _put_quantities(database, seen)
    pages = with_events([cast(Page, dict(page)) for page in tables["history"].values()], events)
    tables["history"] = {str(number): page for number, page in enumerate(pages, 1)}
    tables["shelf"]["1"]["revision"] = (old.revision if old else 0) + 1


def _put_keyed(
    database: TinyDB,
    name: str,
    table: Table[Rowed],
    old: Mapping[str, Rowed],
    new: Mapping[str, Rowed],
    seen: list[Quantity],
) -> None:
    if old is new:
        return
    changed = {key: value for key, value in new.items() if old.get(key) is not value}
    gone = [key for key in old if key not in new]
    if not changed and not gone:
        return
    there = database.table(name)
    if [*(key for key in old if key in new), *(key for key in new if key not in old)] != list(new):
        there.truncate()
        there.insert_multiple([document(table, value) for value in new.values()])
        for value in changed.values():
            seen.extend(quantities_in(value))
        return
    numbers = {one[table.needed[0]]: one.doc_id for one in there.all()}
    if gone:
        there.remove(doc_ids=[numbers[key] for key in gone])
    for value in changed.values():
        seen.extend(quantities_in(value))
    for key in [key for key in changed if key in numbers]:
        kept = document(table, changed.pop(key))
        there.update(_replaced_by(kept), doc_ids=[numbers[key]])
    if changed:
        there.insert_multiple([document(table, value) for value in changed.values()])


def _replaced_by(kept: Mapping[str, object]) -> Callable[[MutableMapping[str, object]], None]:
    def replace_document(there: MutableMapping[str, object]) -> None:
        there.clear()
        there.update(kept)

    return replace_document


def _put_records(
    database: TinyDB,
    old: Mapping[str, Mapping[str, object]],
    new: Mapping[str, Mapping[str, object]],
    path: Path,
) -> None:
    there = database.table("records")
    for kind in dict.fromkeys([*old, *new]):
        before, after = old.get(kind, {}), new.get(kind, {})
        if before is after:
            continue
        numbers = {one["key"]: one.doc_id for one in there.all() if one["kind"] == kind}
        gone = [numbers[key] for key in numbers if key not in after]
        if gone:
            there.remove(doc_ids=gone)
        for key, value in after.items():
            if isinstance(before, KindOfRecord) and before.same(key, value):
                continue
            kept = document_of(kind, key, value, path)
            if key in numbers:
                there.update(_replaced_by(kept), doc_ids=[numbers[key]])
            else:
                there.insert(kept)


def _put_quantities(database: TinyDB, seen: Sequence[Quantity]) -> None:
    there = database.table("quantities")
    known = {one["text"] for one in there.all()}
    fresh = {one.text: str(one.number) for one in seen if one.text not in known}
    there.insert_multiple([{"text": text, "number": number} for text, number in fresh.items()])
