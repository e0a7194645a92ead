"""Rows of what changed: of one table's values, and of records."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from core.store.disk.records import KindOfRecord, Lost
from core.store.rows.table import Rowed, Table, document

#: Results, which later ones replace: history tells that they came, undoing leaves them where they are.
RESULTS = ("plan", "check", "strip", "course", "look", "copy")
#: The field of a row that tells of another key for something, from old to new.
RENAMED = "renamed"
#: The field of a row that tells where something stood that was taken off the shelf.
PLACE = "place"
#: Record kinds that keep books for the program itself; history has no rows for them.
SILENT = ("file columns",)


class Row(NamedTuple):
    """One thing that changed: a column, or ``added``, ``removed``, ``rows``, ``tables``, ``record``."""

    kind: str
    key: str
    field: str
    old: str
    new: str


def text_of(value: object) -> str:
    """How a value stands in a row of history; nothing where there is none."""
    return "" if value is None or isinstance(value, Lost) else json.dumps(value, ensure_ascii=False)


def keyed_rows(
    kind: str, table: Table[Rowed], old: Mapping[str, Rowed], new: Mapping[str, Rowed]
) -> Iterator[Row]:
    """Rows of a table whose values have keys: columns that changed, what was added, what was removed."""
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


def grouped_rows(
    kind: str, table: Table[Rowed], old: tuple[Rowed, ...], new: tuple[Rowed, ...]
) -> Iterator[Row]:
    """Rows of a table whose values go in groups, a whole group a row."""
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


def record_rows(
    old: Mapping[str, Mapping[str, object]],
    new: Mapping[str, Mapping[str, object]],
    in_short: tuple[str, ...],
) -> Iterator[Row]:
    """Rows of records; the kinds named ``in_short`` by a word or two."""
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
