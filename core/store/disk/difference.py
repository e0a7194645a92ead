"""What a change changed: rows of old and new by comparing two shelves, and the same rows turned round."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any, NamedTuple

from core.errors import Stale
from core.reels.reel import Segment
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.store.disk.records import KindOfRecord, Lost
from core.store.rows.columns import Reading, shown
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS, Rowed, Table, document, from_document
from core.store.studio.studio_toml import read_studio
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
            yield Row("studio", name, "tables", _text(before.get(name)), _text(after.get(name)))


def _text(value: object) -> str:
    return "" if value is None or isinstance(value, Lost) else json.dumps(value, ensure_ascii=False)


def _value(text: str) -> object:
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
            yield Row(kind, key, "added", "", _text(document(table, value)))
        elif before is not value and before != value:
            was, now = _flat(table, before), _flat(table, value)
            for field in dict.fromkeys([*was, *now]):
                if was.get(field) != now.get(field):
                    yield Row(kind, key, field, was.get(field, ""), now.get(field, ""))
    places = list(old)
    for number in range(len(places) - 1, -1, -1):  # taken back from the last row up, so the first comes first
        key = places[number]
        if key not in new:
            yield Row(kind, key, PLACE, str(number), "")
            yield Row(kind, key, "removed", _text(document(table, old[key])), "")


def _flat(table: Table[Rowed], value: Rowed) -> dict[str, str]:
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
            yield Row(kind, key, "rows", _text(before.get(key)), _text(after.get(key)))


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
                yield Row(kind, key, "record", _text(was), _text(now))


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


def turned_round(shelf: Shelf, rows: Iterable[Row], reading: Reading) -> Shelf:
    """The shelf with those rows taken back, the last first; Stale where something was changed since."""
    for row in reversed(list(rows)):
        if row.field == RENAMED:
            shelf = _named_back(shelf, row)
        elif row.field == PLACE:
            shelf = _placed_back(shelf, row)
        elif can_be_undone(row):
            shelf = _TAKE_BACK.get(row.kind, _take_back_record)(shelf, row, reading)
    return shelf


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
        if there is None or document(table, there) != _value(row.new):
            raise _stale(row, "" if there is None else _text(document(table, there)))
        del values[row.key]
    elif row.field == "removed":
        if there is not None:
            raise _stale(row, "there")
        values[row.key] = from_document(table, json.loads(row.old), reading)
    else:
        if there is None:
            raise Stale(f"{kind} {row.key} is not there any more")
        cells = _flat(table, there)
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
    if there != _value(row.new):
        raise _stale(row, _text(there))
    place = mine[0] if mine else len(values)
    others = [value for value in values if getattr(value, attribute) != row.key]
    back = [from_document(table, one, reading) for one in (json.loads(row.old) if row.old else ())]
    made = (*others[:place], *back, *others[place:])
    if kind == "sheet":
        return replace(shelf, sheets=tuple(one for one in made if isinstance(one, SheetRow)))
    return replace(shelf, segments=tuple(one for one in made if isinstance(one, Segment)))


def _take_back_studio(shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    tables = studio_tables(shelf.studio)
    if tables.get(row.key) != _value(row.new):
        raise _stale(row, _text(tables.get(row.key)))
    if row.old:
        tables[row.key] = json.loads(row.old)
    else:
        tables.pop(row.key, None)
    return replace(shelf, studio=read_studio(tables, reading.quantity, kept=True))


def _take_back_record(shelf: Shelf, row: Row, reading: Reading) -> Shelf:
    there = shelf.of_kind(row.kind).get(row.key)
    if there != _value(row.new):
        raise _stale(row, _text(there))
    return shelf.with_record(row.kind, row.key, json.loads(row.old) if row.old else None)


_TAKE_BACK = {
    "reel": lambda shelf, row, reading: _take_back_keyed("reel", REELS, shelf, row, reading),
    "song": lambda shelf, row, reading: _take_back_keyed("song", SONGS, shelf, row, reading),
    "sheet": lambda shelf, row, reading: _take_back_grouped("sheet", SHEETS, shelf, row, reading),
    "segment": lambda shelf, row, reading: _take_back_grouped("segment", SEGMENTS, shelf, row, reading),
    "studio": _take_back_studio,
}
