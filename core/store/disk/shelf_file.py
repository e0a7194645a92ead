"""The shelf's one file: read whole into values, and written again with what a change changed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, MutableMapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from core.clock import zone
from core.errors import ReelturnError, Unusable
from core.quantities import Kind, Quantity
from core.shelf import Event, Shelf
from core.store.disk.history import History, Page, with_events
from core.store.disk.records import KindOfRecord, document_of
from core.store.disk.schema import FORMAT, VERSION, Foreign, Newer, shelf_tables
from core.store.disk.storage import Damaged, Tables, write_tables
from core.store.rows.columns import Reading, ReadQuantity
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS, Rowed, Table, V_co, document, from_document
from core.store.studio.studio_toml import read_studio

if TYPE_CHECKING:
    from tinydb import TinyDB

Stamp = tuple[int, int, int]
_VALUES: tuple[tuple[str, Table[Rowed]], ...] = (("reels", REELS), ("songs", SONGS))
_ROWS: tuple[tuple[str, Table[Rowed]], ...] = (("sheets", SHEETS), ("segments", SEGMENTS))


@dataclass(frozen=True, slots=True)
class Kept:
    """A shelf as it was read, the tables it was read from, and the stamp of the file."""

    shelf: Shelf
    tables: Tables
    reading: Reading
    stamp: Stamp | None


def real_path(path: Path) -> Path:
    """The file itself where ``path`` is a link to it, so that writing replaces the file and not the link."""
    return Path(os.path.realpath(path))


def stamp_of(path: Path) -> Stamp | None:
    """What tells one writing of the file from another; None if there is no file."""
    try:
        there = path.stat()
    except OSError:
        return None
    return there.st_ino, there.st_mtime_ns, there.st_size


def read_shelf(path: Path) -> Kept:
    """The shelf in that file; Unusable where there is none, or it is damaged, foreign or newer."""
    stamp = stamp_of(path)
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        raise Unusable(
            f"{path}: there is no shelf: `reelturn --shelf {_argument(path)} new` begins one"
        ) from None
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    try:
        return _kept(path, content, stamp)
    except Foreign:
        raise Unusable(
            f"{path}: this is not a shelf of reelturn, it was not touched{_way_back(path)}"
        ) from None
    except Newer as error:
        raise Unusable(
            f"{path}: a newer reelturn wrote this shelf ({error}), it was not touched: update reelturn"
            f"{_way_back(path)}"
        ) from None
    except Damaged as error:
        raise Unusable(
            f"{path}: this shelf is damaged ({error}), it was not touched{_way_back(path)}"
        ) from None


def is_good(path: Path) -> bool:
    """True if that file holds a shelf that can be read."""
    try:
        _kept(path, path.read_bytes(), None)
    except (Damaged, Foreign, Newer, OSError):
        return False
    return True


def _way_back(path: Path) -> str:
    from core.store.disk.backups import backups_of, good_ones

    newest = next(good_ones(path, is_good), None)
    if newest is None:
        return "; it has no backup that can be read" if backups_of(path) else "; it has no backups"
    when = newest.written.astimezone().strftime("%Y-%m-%d %H:%M")
    command = f"reelturn --shelf {_argument(path)} restore {_argument(Path(newest.name))}"
    return f"; the newest good backup is {newest.path} of {when}, and `{command}` puts it in its place"


def _argument(path: Path) -> str:
    import shlex

    return shlex.quote(str(path))


def _kept(path: Path, content: bytes, stamp: Stamp | None) -> Kept:
    tables = shelf_tables(content)
    try:
        return _read_tables(path, tables, stamp)
    except (KeyError, TypeError, ValueError, AttributeError, ReelturnError) as error:
        raise Damaged(f"what it holds cannot be read: {error}") from error


def _read_tables(path: Path, tables: Tables, stamp: Stamp | None) -> Kept:
    known = {
        one["text"]: Quantity(one["text"], Fraction(one["number"])) for one in tables["quantities"].values()
    }
    head = tables["shelf"]["1"]
    reading = Reading(zone(head["studio"]["studio"]["timezone"]), _known_first(known), kept=True)
    shelf = Shelf(
        studio=read_studio(head["studio"], reading.quantity, kept=True),
        name=path.stem,
        history=History(tuple(tables["history"].values()), reading),
        records=_records(tables["records"], path),
        revision=head["revision"],
        reels={reel.key: reel for reel in _read_rows(REELS, tables["reels"], reading)},
        songs={song.key: song for song in _read_rows(SONGS, tables["songs"], reading)},
        sheets=tuple(_read_rows(SHEETS, tables["sheets"], reading)),
        segments=tuple(_read_rows(SEGMENTS, tables["segments"], reading)),
    )
    return Kept(shelf, tables, reading, stamp)


def _read_rows(table: Table[V_co], documents: Mapping[str, Any], reading: Reading) -> Iterator[V_co]:
    quick = replace(reading, seen={})
    return (from_document(table, one, quick) for one in documents.values())


def _known_first(known: Mapping[str, Quantity]) -> ReadQuantity:
    """A reader of quantities that needs the unit library only for one that this shelf has not seen."""

    def read(text: str, kind: Kind) -> Quantity:
        found = known.get(text)
        if found is not None:
            return found
        from core.quantities import read_quantity

        return read_quantity(text, kind)

    return read


def _records(table: dict[str, Any], path: Path) -> dict[str, KindOfRecord]:
    by_kind: dict[str, dict[str, dict[str, object]]] = {}
    for one in table.values():
        by_kind.setdefault(one["kind"], {})[one["key"]] = one
    return {kind: KindOfRecord(documents, path) for kind, documents in by_kind.items()}


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
    fresh = _records(kept.tables["records"], path)
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
        seen.extend(_quantities(new.studio))
    for name, table in _VALUES:
        _put_keyed(database, name, table, getattr(old, name) if old else {}, getattr(new, name), seen)
    for name, table in _ROWS:
        before, after = getattr(old, name) if old else (), getattr(new, name)
        if before is not after and before != after:
            database.table(name).truncate()
            database.table(name).insert_multiple([document(table, value) for value in after])
            for value in after:
                seen.extend(_quantities(value))
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
            seen.extend(_quantities(value))
        return
    numbers = {one[table.needed[0]]: one.doc_id for one in there.all()}
    if gone:
        there.remove(doc_ids=[numbers[key] for key in gone])
    for value in changed.values():
        seen.extend(_quantities(value))
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


def _quantities(value: object) -> Iterator[Quantity]:
    """Every quantity inside a value."""
    if isinstance(value, Quantity):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _quantities(one)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from _quantities(getattr(value, field.name))
