"""The files of one import as they came, how they are to be read, and what the import did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from pathlib import Path

from core.errors import Unusable
from core.store.exchange.records_file import Record, read_records
from core.store.intake.header import known_name
from core.store.rows.columns import shown
from core.store.rows.csv_text import Sheet, read_sheet
from core.store.rows.tables import HISTORY, REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.studio_toml import read_studio_file
from core.studio.studio import Studio
from core.values import dataclass

ORDER = (REELS, SONGS, SHEETS, SEGMENTS, HISTORY)


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What an import did: how many rows of each kind were added, brought up to date, or there already.

    ``notes`` are lines that a person should read though nothing is wrong.
    """

    files: tuple[str, ...]
    added: dict[str, int] = field(default_factory=dict)
    updated: dict[str, int] = field(default_factory=dict)
    unchanged: dict[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def to_json(self) -> dict[str, object]:
        """The document that other programs read."""
        return {
            "files": list(self.files),
            "added": self.added,
            "updated": self.updated,
            "unchanged": self.unchanged,
            "notes": list(self.notes),
        }


@dataclass(frozen=True, slots=True)
class Files:
    """The files of one import, read: their rows are not yet held against a shelf."""

    names: tuple[str, ...]
    sheets: tuple[Sheet, ...]
    records: tuple[Record, ...] = ()
    studio: Studio | None = None

    @property
    def tells_history(self) -> bool:
        """True where a history comes with the rows, which then needs no rows about the import itself."""
        return any(sheet.table is HISTORY for sheet in self.sheets)

    @property
    def whole_history(self) -> bool:
        """True where that history is a shelf's own, from an export: it numbers its changes."""
        return any(sheet.table is HISTORY and "change" in sheet.columns for sheet in self.sheets)


@dataclass(frozen=True, slots=True)
class Reads:
    """How files are to be read where they are not written as ours are.

    ``bare`` takes a bare number in the one unit that its column can have; ``columns`` names by a column of
    the owner's own which of ours it is; ``to_notes`` leaves out a cell that cannot be read and keeps it in
    the row's notes, word for word.
    """

    bare: bool = False
    columns: Mapping[str, str] = field(default_factory=dict)
    to_notes: bool = False


AS_WRITTEN = Reads()


def read_files(paths: Sequence[Path], columns: Mapping[str, str] = AS_WRITTEN.columns) -> Files:
    """Reads the files, the columns that are named so as ours; Unusable where one is no file of ours."""
    sheets, records, studio = [], [], None
    for path in paths:
        if path.suffix.casefold() == ".toml":
            studio = read_studio_file(path)
        elif path.suffix.casefold() == ".json":
            records += read_records(path)
        else:
            sheets.append(read_sheet(path, columns))
    heads = [cell for sheet in sheets for cell in sheet.head if cell]
    for own in columns:
        if known_name(own) not in map(known_name, heads):
            raise Unusable(f"no column is called {shown(own)}: there are {', '.join(map(shown, heads))}")
    sheets.sort(key=lambda sheet: ORDER.index(sheet.table))
    return Files(tuple(str(path) for path in paths), tuple(sheets), tuple(records), studio)
