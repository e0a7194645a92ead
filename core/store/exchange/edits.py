"""Fields of one reel, song or sheet set as a file's column of that name is read, without gates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from core.errors import Refused
from core.shelf import Shelf
from core.songs.song import SheetRow
from core.store.exchange.import_checks import two_loads, wrong_together
from core.store.intake.contradictions import contradictions
from core.store.intake.copies_in_rings import row_key
from core.store.intake.header import known_name, nearest
from core.store.rows.columns import Reading, WrongCell, shown
from core.store.rows.table import Rowed, Table
from core.store.rows.tables import REELS, SHEETS, SONGS
from core.values import dataclass

#: The table of every kind of thing that has a key.
TABLES: dict[str, Table[Rowed]] = {"reel": REELS, "song": SONGS, "sheet": SHEETS}


@dataclass(frozen=True, slots=True)
class RowOf:
    """One row of a sheet: its track (None where it tells none), and its song where there are several."""

    track: int | None
    song: str | None = None

    @property
    def words(self) -> str:
        """``:3@S-01``, as it is typed behind the sheet's key."""
        return f":{_typed(self.track)}" + (f"@{self.song}" if self.song is not None else "")


def _typed(track: int | None) -> str:
    """A track as it is typed behind a sheet's key; ``?`` for the row that tells none."""
    return "?" if track is None else str(track)


#: Columns of a sheet that may be set for all of its rows at once.
_WHOLE_SHEET = ("reel", "song", "date", "notes", "found_in")


def set_fields(
    shelf: Shelf, kind: str, key: str, given: Mapping[str, str], reading: Reading, row: RowOf | None = None
) -> Shelf:
    """The shelf with those cells of that thing set, an empty one cleared; Refused with every wrong one.

    ``given`` has the cells by column as they are typed; ``row`` is one row of a sheet, else all of them are
    meant. Fields that contradict what else the shelf tells are refused as an import refuses them.
    """
    table = TABLES[kind]
    place = f"set {key}" + (row.words if row is not None else "")
    wrong: list[str] = []
    cells = {_column(shelf, table, name): text for name, text in given.items()}
    before = _values(shelf, kind, key)
    if row is not None:
        before = [_the_row(before, key, row)]
        if "reel" in cells and any(one.sheet == key and one is not before[0] for one in shelf.sheets):
            raise Refused(f"{place}, column reel: a sheet is of one tape: set {key} reel= moves all its rows")
    elif kind == "sheet" and len(before) > 1:
        lone = next((name for name in cells if name not in _WHOLE_SHEET), None)
        if lone is not None:
            raise Refused(
                f"{place}, column {lone}: the sheet has {len(before)} rows, each with its own: set one by "
                f"its track, as {key}:{_typed(before[0].track)} {lone}=..."
            )
    made = []
    for value in before:
        found, faults = _with_cells(table, value, cells, reading)
        wrong += [_told(place, one) for one in faults]
        made.append(found)
    if wrong:
        raise Refused("\n".join(dict.fromkeys(wrong)))
    if row is not None:
        (alone,) = (one for one in made if isinstance(one, SheetRow))
        _alone(shelf, before[0], alone, place)
    return allowed(shelf, _put(shelf, kind, before, made), place)


def _the_row(rows: Sequence[SheetRow], sheet: str, row: RowOf) -> SheetRow:
    """The one row of that track, and song where it is told."""
    here = [one for one in rows if one.track == row.track]
    mine = [one for one in here if row.song is None or one.song == row.song]
    if len(mine) == 1:
        return mine[0]
    if not here:
        there = ", ".join(dict.fromkeys(_typed(one.track) for one in rows))
        raise Refused(f"sheet {sheet} has no row for track {_typed(row.track)}: it has {there}")
    told = " or ".join(f"{sheet}:{_typed(row.track)}@{one.song}" for one in here)
    raise Refused(f"sheet {sheet} has {len(here)} rows for track {_typed(row.track)}: say which song, {told}")


def _alone(shelf: Shelf, was: SheetRow, now: SheetRow, place: str) -> None:
    if row_key(now) != row_key(was) and any(row_key(one) == row_key(now) for one in shelf.sheets):
        song = f" of {now.song}" if now.song else ""
        raise Refused(f"{place}: sheet {now.sheet} has a row for track {now.track}{song} already")


def _told(place: str, one: WrongCell) -> str:
    return f"{place}, column {one.column}: {shown(one.text)} is not {one.right}"


def _column(shelf: Shelf, table: Table[Rowed], name: str) -> str:
    """The table's column of that name, or one of the shelf's own; Refused with the nearest for another."""
    known = known_name(name)
    if known == table.needed[0]:
        raise Refused(f"{name} is the key itself: `reelturn rename OLD NEW` changes it everywhere")
    if known in table.columns:
        return known
    own = list(shelf.of_kind("file columns").get(table.name, ()))
    by_name = {known_name(one): one for one in own}
    if known in by_name:
        return str(by_name[known])
    near = nearest(name, [*table.columns, *own])
    hint = f": did you mean {near}?" if near else f": there are {', '.join([*table.columns, *own])}"
    raise Refused(f"no field {shown(name)}{hint}")


def _values(shelf: Shelf, kind: str, key: str) -> list[Any]:
    if kind == "reel":
        return [shelf.reel(key)]
    if kind == "song":
        return [shelf.song(key)]
    return [row for row in shelf.sheets if row.sheet == key]


def _with_cells(
    table: Table[Rowed], value: Rowed, given: Mapping[str, str], reading: Reading
) -> tuple[Rowed | None, list[WrongCell]]:
    cells, extra = table.cells(value), dict(value.extra)
    for name, text in given.items():
        there = cells if name in table.columns else extra
        if text.strip():
            there[name] = text
        else:
            there.pop(name, None)
    # What stood there before is taken as it is; only what is given is read strictly.
    quick = replace(reading, kept=True, seen={})
    wrong = table.read({n: t for n, t in cells.items() if n in given or n in table.needed}, {}, reading)[1]
    if wrong:
        return None, wrong
    return table.read(cells, extra, quick)


def _put(shelf: Shelf, kind: str, before: list[Any], made: list[Any]) -> Shelf:
    if kind == "reel":
        return shelf.with_reel(*made)
    if kind == "song":
        return shelf.with_song(*made)
    changed = {id(old): new for old, new in zip(before, made, strict=True)}
    return replace(shelf, sheets=tuple(changed.get(id(row), row) for row in shelf.sheets))


def allowed(before: Shelf, after: Shelf, place: str = "", *, by_the_field: bool = False) -> Shelf:
    """The shelf after an edit; Refused where the edit makes something impossible that was not so before.

    What was touched is told from the two shelves; ``place`` names the edit in a message, else the key does.
    ``by_the_field``: of a chamber and its time one comes after the other, and is not asked for yet.
    """
    touched: dict[tuple[str, object], str] = {}
    for kind in ("reels", "songs"):
        was, now = getattr(before, kind), getattr(after, kind)
        if was is not now:
            touched |= {(kind, key): place or key for key, one in now.items() if was.get(key) is not one}
    if before.sheets is not after.sheets:
        known = {id(row) for row in before.sheets}
        touched |= {
            ("sheets", row_key(row)): place or row.sheet for row in after.sheets if id(row) not in known
        }
    places = {(kind, key): told for (kind, key), told in touched.items() if isinstance(key, str)}
    wrong = [*contradictions(after, touched, before), *two_loads(before, after, places)]
    old = set(wrong_together(before, places, touched))
    late = (", column loaded_at: is missing", ", column chamber: is missing") if by_the_field else ()
    for line in wrong_together(after, places, touched):
        if line not in old and not any(one in line for one in late):
            wrong.append(line)
    if wrong:
        raise Refused("\n".join(wrong))
    return after
