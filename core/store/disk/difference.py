"""What a change changed: rows of old and new by comparing two shelves, and the same rows turned round."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import NamedTuple

from core.shelf import Shelf
from core.store.disk.records import KindOfRecord, Lost
from core.store.rows.table import Rowed, Table, document
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.text import studio_tables

#: Results, which later ones replace: history tells that they came, undoing leaves them where they are.
RESULTS = ("plan", "check", "strip", "course", "look", "copy")
#: The field of a row that tells of another key for something, from old to new.
RENAMED = "renamed"
#: The field of a row that tells where something stood that was taken off the shelf.
PLACE = "place"
#: Record kinds that keep books for the program itself; history has no rows for them.
SILENT = ("file columns",)


#: The columns of a reel that hold a point in time.
_MOMENTS = tuple(column.attribute for column in REELS.columns.values() if column.time)


class Row(NamedTuple):
    """One thing that changed: a column, or ``added``, ``removed``, ``rows``, ``tables``, ``record``."""

    kind: str
    key: str
    field: str
    old: str
    new: str


def differences(old: Shelf, new: Shelf, *, whole: bool = False) -> list[Row]:
    """Everything that differs between two shelves, history apart; ``whole``: results in full."""
    rows = [*_studio(old, new)]
    rows += _keyed("reel", REELS, old.reels, new.reels)
    rows += _keyed("song", SONGS, old.songs, new.songs)
    rows += _grouped("sheet", SHEETS, old.sheets, new.sheets)
    rows += _grouped("segment", SEGMENTS, old.segments, new.segments)
    rows += _records(old.records, new.records, () if whole else RESULTS)
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


def text_of(value: object) -> str:
    """How a value stands in a row of history; nothing where there is none."""
    return "" if value is None or isinstance(value, Lost) else json.dumps(value, ensure_ascii=False)


def value_of(text: str) -> object:
    """What such a text holds; the order of its keys does not count."""
    return json.loads(text) if text else None


def _keyed(
    kind: str, table: Table[Rowed], old: Mapping[str, Rowed], new: Mapping[str, Rowed]
) -> Iterator[Row]:
    if old is new:
        return
    for key, value in new.items():
        before = old.get(key)
        if before is None:
            yield Row(kind, key, "added", "", text_of(document(table, value)))
        elif before is not value and before != value:
            was, now = flat(table, before), flat(table, value)
            for field in dict.fromkeys([*was, *now]):
                if was.get(field) != now.get(field):
                    yield Row(kind, key, field, was.get(field, ""), now.get(field, ""))
    places = list(old)
    for number in range(len(places) - 1, -1, -1):  # taken back from the last row up, so the first comes first
        key = places[number]
        if key not in new:
            yield Row(kind, key, PLACE, str(number), "")
            yield Row(kind, key, "removed", text_of(document(table, old[key])), "")


def flat(table: Table[Rowed], value: Rowed) -> dict[str, str]:
    """A value's cells by column, the columns of the owner's own behind a plus sign."""
    return table.cells(value) | {f"+{name}": text for name, text in value.extra}


def _grouped(kind: str, table: Table[Rowed], old: tuple[Rowed, ...], new: tuple[Rowed, ...]) -> Iterator[Row]:
    if old is new or old == new:
        return
    before, after = _by_key(table, old), _by_key(table, new)
    attribute = table.columns[table.needed[0]].attribute
    gone = [n for n, value in enumerate(old) if getattr(value, attribute) not in after]
    first = {getattr(old[number], attribute): number for number in reversed(gone)}
    for key in sorted(dict.fromkeys([*before, *after]), key=lambda key: -first.get(key, 0)):
        if before.get(key) != after.get(key):
            if key in first:
                yield Row(kind, key, PLACE, str(first[key]), "")
            yield Row(kind, key, "rows", text_of(before.get(key)), text_of(after.get(key)))


def _by_key(table: Table[Rowed], values: tuple[Rowed, ...]) -> dict[str, list[dict[str, object]]]:
    key = table.needed[0]
    out: dict[str, list[dict[str, object]]] = {}
    for value in values:
        out.setdefault(getattr(value, table.columns[key].attribute), []).append(document(table, value))
    return out


def _records(
    old: Mapping[str, Mapping[str, object]],
    new: Mapping[str, Mapping[str, object]],
    in_short: tuple[str, ...],
) -> Iterator[Row]:
    for kind in dict.fromkeys([*old, *new]):
        before, after = old.get(kind, {}), new.get(kind, {})
        if before is after or kind in SILENT:
            continue
        for key in dict.fromkeys([*before, *after]):
            if isinstance(before, KindOfRecord) and key in after and before.same(key, after[key]):
                continue
            read = before.kept if isinstance(before, KindOfRecord) else before.get
            was = read(key) if key in before else None
            now = after.get(key)
            if was == now:
                continue
            if kind in in_short:
                yield Row(kind, key, "result", _in_short(was), _in_short(now))
            else:
                yield Row(kind, key, "record", text_of(was), text_of(now))


def _in_short(value: object) -> str:
    """A result in a word or two; the result itself is kept, not its history."""
    if not isinstance(value, Mapping):
        return "" if value is None else "kept"
    for name in ("verdict", "number", "status"):
        if value.get(name) is not None:
            return f"{name} {value[name]}"
    return "kept"


def can_be_undone(row: Row) -> bool:
    """True for rows that say all that is needed to turn them round."""
    return row.field not in ("result", "note", "restored")
