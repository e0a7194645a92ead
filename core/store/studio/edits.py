"""Changes of the studio on the shelf, read as strictly as its file: what is wrong is told with its path."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from core.errors import Unusable
from core.quantities import read_quantity
from core.store.studio.fields import ARRAYS
from core.store.studio.studio_toml import read_studio
from core.store.studio.text import Tables, studio_tables
from core.studio.studio import Studio


def edited(studio: Studio, table: str, number: int, values: Mapping[str, object]) -> Studio:
    """The studio with those keys of one table set; None takes a key away, so that its default holds."""

    def change(tables: Tables) -> None:
        rows = tables.setdefault(table, [] if table in ARRAYS else {})
        if table in ARRAYS and not 0 <= number < len(rows):
            raise Unusable(f"the studio has no {table} number {number + 1}")
        one = rows[number] if table in ARRAYS else rows
        for key, value in values.items():
            if value is None:
                one.pop(key, None)
            else:
                one[key] = value

    return _changed(studio, change)


def added(studio: Studio, table: str, values: Mapping[str, object]) -> Studio:
    """The studio with one more deck, chamber, treatment or row of hours."""
    return _changed(studio, lambda tables: tables.setdefault(table, []).append(dict(values)))


def taken(studio: Studio, table: str, number: int) -> Studio:
    """The studio without one of its decks, chambers, treatments or rows of hours."""

    def change(tables: Tables) -> None:
        rows = tables.get(table, [])
        if not 0 <= number < len(rows):
            raise Unusable(f"the studio has no {table} number {number + 1}")
        del rows[number]
        if not rows:
            del tables[table]

    return _changed(studio, change)


def _changed(studio: Studio, change: Callable[[Tables], None]) -> Studio:
    """The studio changed; a figure that cannot be and stood there before is in nobody's way."""
    tables = studio_tables(studio)
    change(tables)
    try:
        return read_studio(tables, read_quantity, "studio")
    except Unusable as error:
        stood = _wrong(studio_tables(studio))
        new = [line for line in str(error).splitlines() if line not in stood]
        if new:
            raise Unusable("\n".join(new)) from None
        return read_studio(tables, read_quantity, "studio", kept=True)


def _wrong(tables: Tables) -> list[str]:
    try:
        read_studio(tables, read_quantity, "studio")
    except Unusable as error:
        return str(error).splitlines()
    return []
