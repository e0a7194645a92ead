"""A file of rows as a sheet of one kind, and CSV out; rows are numbered with the header as row 1."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from core.errors import Unusable
from core.store.intake.delimited import text_rows
from core.store.intake.header import as_on_the_form, known_name, known_names, told_table
from core.store.rows.columns import shown
from core.store.rows.table import Rowed, Table
from core.store.rows.tables import TABLES
from core.values import dataclass

#: Files of spreadsheets; all others are text.
SUFFIXES = (".xlsx", ".ods")
TITLES = 6  # rows at the top among which a header is looked for that stands below a title


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a file: its number, the cells that are not blank, those of columns that we do not know."""

    number: int
    cells: Mapping[str, str]
    extra: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A CSV file as read: its kind, its lines, its columns, and the rows that have too few or many cells.

    ``head`` is its first row as it stands in the file; ``read_as`` has its own words for columns of ours,
    each with that column.
    """

    file: str
    table: Table[Rowed]
    columns: tuple[str, ...]
    extra_columns: tuple[str, ...]
    lines: tuple[Line, ...]
    misshapen: tuple[str, ...]
    head: tuple[str, ...] = ()
    read_as: tuple[tuple[str, str], ...] = ()


def read_sheet(path: Path, meant: Mapping[str, str] = MappingProxyType({})) -> Sheet:
    """The file as a sheet; Unusable where it is no CSV or its header tells no kind.

    ``meant`` names by a column of the owner's own which of ours it is.
    """
    rows = rows_of(path)
    if not rows or not any(cell.strip() for cell in rows[0]):
        raise Unusable(
            f"{path} row 1: there is no header row: give one, such as {','.join(TABLES[-1].columns)}"
        )
    head, means = tuple(cell.strip() for cell in rows[0]), {known_name(k): v for k, v in meant.items()}
    rows[0] = [means.get(known_name(cell), cell) for cell in rows[0]]
    below = next((n for n, row in enumerate(rows[:TITLES], 1) if known_names(row) > 1), 1)
    if below > 1 and not known_names(rows[0]):
        raise Unusable(f"{path} row 1: the header stands in row {below}: take out what is above it")
    named = [known_name(cell) for cell in rows[0]]
    table = told_table(path, named, head)
    read_as = as_on_the_form(named, table)
    named = [read_as.get(name, name) for name in named]
    header = [
        name if name in table.columns else cell.strip() for name, cell in zip(named, rows[0], strict=True)
    ]
    twice = next((name for name in header if name and header.count(name) > 1), None)
    if twice is not None:
        raise Unusable(
            f"{path} row 1: column {shown(twice)} is there twice: give each column a name of its own"
        )
    lines, misshapen = [], []
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(header):
            misshapen.append(
                f"{path} row {number} ({shown(row[0])}): {len(row)} cells, and the header has {len(header)}: "
                "give every row as many cells as the header"
            )
            continue
        full = {name: cell for name, cell in zip(header, row, strict=True) if cell.strip()}
        if "" in full:
            misshapen.append(
                f"{path} row {number}: {shown(full[''])} stands in a column without a name: name it in row 1"
            )
        known = {name: cell for name, cell in full.items() if name in table.columns}
        lines.append(Line(number, known, {k: v for k, v in full.items() if k and k not in known}))
    columns = tuple(name for name in header if name in table.columns)
    extra = tuple(name for name in header if name and name not in table.columns)
    return Sheet(
        str(path), table, columns, extra, tuple(lines), tuple(misshapen), head, tuple(read_as.items())
    )


def rows_of(path: Path) -> list[list[str]]:
    """The file's rows as cells, whether it is text or a spreadsheet's file."""
    if path.suffix.casefold() in SUFFIXES:
        from core.store.intake.spreadsheet import spreadsheet_rows

        return spreadsheet_rows(path, known_names)
    return text_rows(path, known_names)


def csv_text(header: Sequence[str], rows: Iterable[Mapping[str, str]]) -> str:
    """The text of a CSV file, CRLF at the line ends."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(header)
    for row in rows:
        cells = [row.get(name, "") for name in header]
        if len(cells) == 1 and not cells[0]:
            out.write('""\r\n')
        else:
            writer.writerow(cells)
    return out.getvalue()
