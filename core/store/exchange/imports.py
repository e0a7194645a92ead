"""Files into a shelf: every row is read strictly, and all rows of all files count or none."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, cast

from core.errors import RowsRefused
from core.evening.warming.nobody_home import left_alone
from core.evening.warming.retimed import hours_kept, retimed
from core.logbook.noted import of_another_shelf
from core.quantities import read_quantity
from core.shelf import Event, RecordKind, Shelf
from core.songs.song import SheetRow
from core.store.disk.changes.undo import ACT, WRITTEN
from core.store.exchange.import_checks import two_loads, wrong_together
from core.store.exchange.records_file import Record
from core.store.exchange.what_came import AS_WRITTEN, Files, ImportReport, Reads
from core.store.intake.contradictions import contradictions
from core.store.intake.copies_in_rings import row_key
from core.store.intake.header import unknown_columns_told
from core.store.intake.named_elsewhere import not_there_told
from core.store.rows.columns import Reading, WrongCell, shown
from core.store.rows.csv_text import Line, Sheet
from core.store.rows.figures import meant
from core.store.rows.table import Rowed, Table, V_co
from core.store.rows.tables import HISTORY, REELS, SEGMENTS, SONGS
from core.store.studio.hours_lost import lost_with
from core.store.studio.studio_toml import unread_told
from core.studio.studio import Studio
from core.tape.own_stocks import told_of
from core.words import counted

MOST_LINES = 200


class Import:
    """One import into one shelf: collects what is wrong while it lays the rows over the shelf."""

    def __init__(
        self,
        shelf: Shelf,
        files: Files,
        *,
        update: bool,
        reads: Reads = AS_WRITTEN,
        this_year: int | None = None,
    ) -> None:
        self.before = self.shelf = shelf
        self.files, self.update, self.reads = files, update, reads
        self.reading = Reading(
            (files.studio or shelf.studio).zone,
            read_quantity,
            seen={},
            refused={},
            this_year=this_year,
            listed=True,
        )
        self.wrong: list[str] = []
        self.bare = 0  # numbers without a unit that were refused, and that can have one unit alone
        self.known: dict[tuple[str, str], str | None] = {}
        self.noted: list[str] = []  # the column of every cell that went into the notes
        self.counts: dict[str, dict[str, int]] = {"added": {}, "updated": {}, "unchanged": {}}
        self.places: dict[tuple[str, str], str] = {}
        self.touched: dict[tuple[str, object], str] = {}
        self.there_already: dict[str, list[str]] = {}
        # A shelf's own history that comes to a shelf on which nothing but importing was done takes the place
        # of the rows about importing: they tell of the same.
        self.replaces_history = files.whole_history and only_imported(shelf)

    def run(self) -> tuple[Shelf, tuple[Event, ...], ImportReport]:
        """The shelf with all rows, the rows of history that came, and the report; RowsRefused else."""
        events = self.lay()
        if self.wrong:
            raise RowsRefused(shortened(self.wrong), self.bare)
        return self.shelf, events, ImportReport(self.files.names, **self.counts, notes=tuple(self.notes()))

    def lay(self) -> tuple[Event, ...]:
        """Lays all rows over the shelf and notes what is wrong; the rows of history that came."""
        if self.files.studio is not None:
            self._studio(self.files.studio)
        events: tuple[Event, ...] = ()
        for sheet in self.files.sheets:
            self.wrong += sheet.misshapen
            self._remember_columns(sheet)
            if sheet.table in (REELS, SONGS):
                self._keyed(sheet)
            elif sheet.table is HISTORY:
                events += self._history(sheet, events)
            else:
                self._rows(sheet)
        for record in self.files.records:
            self._record(record)
        if self.files.studio is not None:
            self.shelf = hours_kept(self.before, self.shelf)
        if not self.wrong:
            self.wrong += wrong_together(self.shelf, self.places, self.touched)
            self.wrong += contradictions(self.shelf, self.touched, self.before)
            self.wrong += two_loads(self.before, self.shelf, self.places)
        self.wrong += [self._already_told(file, told) for file, told in self.there_already.items()]
        return events

    def notes(self) -> Iterator[str]:
        """Lines on what was taken and should be looked at: unknown columns, keys that the shelf has not."""
        if self.files.studio is not None:
            yield from unread_told(self.files.studio)
            yield from lost_with(self.before.studio, self.files.studio)
            yield from left_alone(self.before, self.shelf)
            yield from retimed(self.before, self.shelf)
        for sheet in self.files.sheets:
            new = [name for name in sheet.extra_columns if name not in WRITTEN]
            if new:
                yield unknown_columns_told(sheet.file, new, sheet.columns, sheet.table)
            if sheet.read_as:
                told = ", ".join(f"{own} is read as {ours}" for own, ours in sheet.read_as)
                yield f"{sheet.file} row 1: {told}"
            yield from not_there_told(sheet, self.shelf)
        own = self.before.of_kind("stock")
        for one in (record for record in self.files.records if record.kind == "stock"):
            if own.get(one.key) != one.value:
                yield from (f"{one.file} record {one.number}: {told}" for told in told_of(one.key, one.value))
        if self.noted:
            columns = ", ".join(f"{name} {self.noted.count(name)}" for name in dict.fromkeys(self.noted))
            yield f"{counted(len(self.noted), 'cell')} in the notes, word for word: {columns}"

    def _count(self, what: str, kind: str) -> None:
        self.counts[what][kind] = self.counts[what].get(kind, 0) + 1

    def _studio(self, studio: Studio) -> None:
        if studio == self.shelf.studio:
            self._count("unchanged", "studio")
        elif not self.update:
            self.wrong.append(
                "studio.toml: this shelf has a studio already: --update puts this one in its place"
            )
        else:
            self.shelf = replace(self.shelf, studio=studio)
            self._count("updated", "studio")

    def _remember_columns(self, sheet: Sheet) -> None:
        seen = self.shelf.of_kind("file columns").get(sheet.table.name, [])
        brought = [name for name in sheet.extra_columns if name not in WRITTEN]
        now = list(dict.fromkeys([*seen, *brought]))
        if now != seen:
            self.shelf = self.shelf.with_record("file columns", sheet.table.name, now)

    def _read(
        self, sheet: Sheet, line: Line, before: Rowed | None = None, *, table: Table[V_co]
    ) -> V_co | None:
        """The line as a value, laid over the one that was there in the columns that the file has."""
        cells, extra = dict(line.cells), dict(line.extra)
        kept: dict[str, str] = {}
        if before is not None:
            kept = table.cells(before)
            cells = {k: v for k, v in kept.items() if k not in sheet.columns} | cells
            old = dict(before.extra)
            extra = {k: v for k, v in old.items() if k not in sheet.extra_columns} | extra
        if self.reads.bare and table in (REELS, SEGMENTS):
            cells = {name: self._meant(name, text) or text for name, text in cells.items()}
        value, wrong = table.read(cells, extra, self.reading)
        if wrong and self.reads.to_notes and "notes" in table.columns:
            self.noted += [one.column for one in wrong]
            value, wrong = table.read(_noted(cells, wrong, table, kept), extra, self.reading)
        self.wrong += [self._told(sheet, line, one) for one in wrong]
        if wrong and table in (REELS, SEGMENTS):
            self.bare += sum(self._meant(one.column, one.text) is not None for one in wrong)
        return value

    def _meant(self, name: str, text: str) -> str | None:
        """What a bare number means in that column; a shelf has few kinds, and each is read once."""
        asked = name, text
        if asked not in self.known:
            self.known[asked] = meant(name, text, self.reading)
        return self.known[asked]

    def _told(self, sheet: Sheet, line: Line, one: WrongCell) -> str:
        name = (
            line.cells.get(sheet.table.needed[0], "")
            if sheet.table is not HISTORY
            else line.cells.get("key", "")
        )
        return f"{place(sheet, line, name)}, column {one.column}: {shown(one.text)} is not {one.right}"

    def _keyed(self, sheet: Sheet) -> None:
        kind = sheet.table.name
        there: dict[str, Rowed] = dict(self.shelf.reels if sheet.table is REELS else self.shelf.songs)
        seen: dict[str, int] = {}
        for line in sheet.lines:
            name = line.cells.get(sheet.table.needed[0], "")
            before = there.get(name)
            if name in seen or (kind, name) in self.places:
                self._twice(sheet, line, name, seen.get(name))
                continue
            if before is not None and not self.update:
                self._already(sheet, line, name)
                continue
            value = self._read(sheet, line, before, table=sheet.table)
            if name:
                seen[name] = line.number
            if value is not None:
                self._count(
                    "added" if before is None else "unchanged" if value == before else "updated", kind
                )
                there[name] = before if value == before else value
        for line in sheet.lines:
            name = line.cells.get(sheet.table.needed[0], "")
            self.places.setdefault((kind, name), place(sheet, line, name))
            self.touched.setdefault((kind, name), place(sheet, line, name))
        self._put(kind, there)

    def _put(self, kind: str, values: object) -> None:
        changed: dict[str, Any] = {kind: values}
        self.shelf = replace(self.shelf, **changed)

    def _already(self, sheet: Sheet, line: Line, name: str) -> None:
        self.there_already.setdefault(sheet.file, []).append(f"{shown(name)[1:-1]} in row {line.number}")

    def _already_told(self, file: str, told: list[str]) -> str:
        first = ", ".join(told[:3]) + (", ..." if len(told) > 3 else "")
        one = len(told) == 1
        what = "1 row is" if one else f"{len(told)} rows are"
        mend = "bring it up to date with --update, or give another key"
        if not one:
            mend = "bring them up to date with --update, or give other keys"
        return f"{file}: {what} on the shelf already ({first}): {mend}"

    def _twice(self, sheet: Sheet, line: Line, name: str, first: int | None) -> None:
        where = f"in row {first}" if first else "in another file of this import"
        if sheet.table.name == "sheets":  # a sheet has a row for each track: say which is there twice
            track, song = line.cells.get("track", "").strip() or "?", line.cells.get("song", "").strip()
            self.wrong.append(
                f"{place(sheet, line, name)}, column track: track {track}{f' of {song}' if song else ''} is "
                f"there already {where}: write both in one row, or give the second a sheet of its own"
            )
            return
        self.wrong.append(
            f"{place(sheet, line, name)}, column {sheet.table.needed[0]}: {shown(name)} is there already "
            f"{where}: give every row a key of its own"
        )

    def _rows(self, sheet: Sheet) -> None:
        kind = sheet.table.name
        there: list[Rowed] = list(getattr(self.shelf, kind))
        at = {row_key(value): number for number, value in enumerate(there)}
        seen: dict[object, int] = {}
        for line in sheet.lines:
            value = self._read(sheet, line, table=sheet.table)
            if value is None:
                continue
            name, key = line.cells.get(sheet.table.needed[0], ""), row_key(value)
            number = at.get(key)
            if number is None and self.update:
                number = _nameless_song(at, value)
            if key in seen:
                self._twice(sheet, line, name, seen[key])
            elif number is not None and not self.update:
                self._already(sheet, line, name)
            elif number is not None:
                fresh = self._read(sheet, line, there[number], table=sheet.table) or there[number]
                self._count("unchanged" if fresh == there[number] else "updated", kind)
                there[number] = fresh
            else:
                there.append(value)
                at[key] = len(there) - 1
                self._count("added", kind)
            seen[key] = line.number
            self.places.setdefault((kind, name), place(sheet, line, name))
            self.touched[kind, row_key(there[at[key]] if key in at else value)] = place(sheet, line, name)
        self._put(kind, tuple(there))

    def _history(self, sheet: Sheet, before: tuple[Event, ...]) -> tuple[Event, ...]:
        fresh = self.replaces_history or len(self.shelf.history) == 0
        known = set() if fresh else {replace(event, change=0, extra=()) for event in self.shelf.history}
        read = [(line, self._read(sheet, line, table=HISTORY)) for line in sheet.lines]
        told = [(line, event) for line, event in read if event is not None]
        # Another shelf's numbers of changes would be taken for this one's: only a new shelf keeps them.
        as_here = {} if fresh else of_another_shelf([event for _, event in told])
        out: list[Event] = []
        for line, event in told:
            if replace(event, change=0, extra=()) in known:
                if self.update:
                    self._count("unchanged", "history")
                else:
                    self._already(sheet, line, event.key)
                continue
            out += as_here.get(id(event), (event,))
            self._count("added", "history")
        return tuple(out)

    def _record(self, record: Record) -> None:
        kind = cast(
            "RecordKind", record.kind
        )  # as the file has it: one that is not known is kept all the same
        there = self.shelf.of_kind(kind).get(record.key)
        if record.kind == "file columns":
            value = list(dict.fromkeys([*(there or ()), *record.value]))
            self.shelf = self.shelf.with_record(kind, record.key, value)
        elif there is not None and there == record.value:
            self._count("unchanged", "records")
        elif there is not None and not self.update:
            self.wrong.append(
                f"{record.file} record {record.number}: {shown(record.kind)} {shown(record.key)} "
                "is on the shelf already: bring it up to date with --update"
            )
        elif (wrong := _wrong_own(record)) is not None:
            self.wrong.append(f"{record.file} record {record.number}: {wrong}")
        else:
            self.shelf = self.shelf.with_record(kind, record.key, record.value)
            self._count("added" if there is None else "updated", "records")


def _noted(
    cells: Mapping[str, str], wrong: Sequence[WrongCell], table: Table[Rowed], kept: Mapping[str, str]
) -> dict[str, str]:
    """The cells without those that cannot be read, which stand in the notes then; a needed one stays.

    What was ``kept`` in their place on the shelf stays there.
    """
    out, notes = dict(cells), [cells["notes"]] if cells.get("notes") else []
    for one in wrong:
        if one.column in out and one.column not in table.needed:
            told = f"{one.column}: {out.pop(one.column).strip()}"
            out |= {one.column: kept[one.column]} if one.column in kept else {}
            notes += [told] if told not in "; ".join(notes) else []
    return out | ({"notes": "; ".join(notes)} if notes else {})


def place(sheet: Sheet, line: Line, name: str) -> str:
    """Where a row stands, for a message: file, row and key."""
    return f"{sheet.file} row {line.number}" + (f" ({shown(name)[1:-1]})" if name else "")


def shortened(wrong: list[str]) -> tuple[str, ...]:
    """The lines, the first ones only where there are very many."""
    more = len(wrong) - MOST_LINES
    if more <= 0:
        return tuple(wrong)
    return (*wrong[:MOST_LINES], f"and {more} more like these: mend those first")


def only_imported(shelf: Shelf) -> bool:
    """True where all that the shelf's history tells of is importing."""
    acts = {event.change: dict(event.extra).get(ACT, "") for event in reversed(shelf.history)}
    return all(number and act.startswith("import ") for number, act in acts.items())


def _nameless_song(at: Mapping[tuple[object, ...], int], value: Rowed) -> int | None:
    """A row of the same sheet and track whose song nobody had named yet."""
    if not isinstance(value, SheetRow) or value.track is None:
        return None
    return at.get((value.sheet, value.track, ""))


def _wrong_own(record: Record) -> str | None:
    """What is wrong with an owner's row of stocks, or figures; None for good ones, or another record."""
    if record.kind == "setting" and record.key == "figures":
        from core.tape.where import own_figure_trouble

        told = record.value if isinstance(record.value, dict) else {str(record.value): None}
        return next((why for key, one in told.items() if (why := own_figure_trouble(key, one))), None)
    if record.kind != "stock":
        return None
    from core.tape.own_stocks import own_rows

    try:
        own_rows({record.key: record.value})
    except ValueError as error:
        return str(error)
    return None
