"""The shelf's one file: read whole into values, and written again with what a change changed."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from core.errors import ReelturnError, Unusable
from core.quantities import Kind, Quantity
from core.shelf import Shelf
from core.store.disk.changes.history import History
from core.store.disk.records import KindOfRecord
from core.store.disk.schema import Foreign, Newer, shelf_tables
from core.store.disk.storage import Damaged, Tables
from core.store.rows.columns import Reading, ReadQuantity
from core.store.rows.table import Rowed, Table, V_co, from_document
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.studio_toml import read_studio
from core.values import dataclass
from core.zones import zone

if TYPE_CHECKING:
    pass

Stamp = tuple[int, int, int]
VALUE_TABLES: tuple[tuple[str, Table[Rowed]], ...] = (("reels", REELS), ("songs", SONGS))
ROW_TABLES: tuple[tuple[str, Table[Rowed]], ...] = (("sheets", SHEETS), ("segments", SEGMENTS))


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
        raise Unusable(f"{path}: there is no shelf: {begins_one(path)}") from None
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


def begins_one(path: Path) -> str:
    """The line that begins a shelf in that file."""
    return f"`reelturn --shelf {_argument(path)} new` begins one"


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
        records=records_in(tables["records"], path),
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


def records_in(table: dict[str, Any], path: Path) -> dict[str, KindOfRecord]:
    """The kept records of a shelf's table by kind; each is read when it is asked for.

    What is changed later is written over in the table: a shelf that was read before keeps its own.
    """
    by_kind: dict[str, dict[str, dict[str, object]]] = {}
    for one in table.values():
        by_kind.setdefault(one["kind"], {})[one["key"]] = dict(one)
    return {kind: KindOfRecord(documents, path) for kind, documents in by_kind.items()}


def quantities_in(value: object) -> Iterator[Quantity]:
    """Every quantity inside a value."""
    if isinstance(value, Quantity):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from quantities_in(one)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from quantities_in(getattr(value, field.name))
