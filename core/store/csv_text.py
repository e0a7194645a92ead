"""CSV in and out: UTF-8 with or without BOM, RFC 4180, CRLF or LF; rows numbered with the header as row 1."""

from __future__ import annotations

import csv
import io
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from core.errors import Unusable
from core.store.columns import shown
from core.store.tables import TABLES, Table


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a file: its number, the cells that are not blank, those of columns that we do not know."""

    number: int
    cells: Mapping[str, str]
    extra: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A CSV file as read: its kind, its lines, its columns, and the rows that have too few or many cells."""

    file: str
    table: Table
    columns: tuple[str, ...]
    extra_columns: tuple[str, ...]
    lines: tuple[Line, ...]
    misshapen: tuple[str, ...]


def read_text(path: Path) -> str:
    """The file's text; Unusable where it cannot be read or is not UTF-8."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = content[: error.start].count(b"\n") + 1
        raise Unusable(
            f"{path}: not UTF-8 (byte {error.start + 1}, about row {row}): save it as UTF-8"
        ) from error
    if "\0" in text:
        row = text[: text.index("\0")].count("\n") + 1
        raise Unusable(f"{path}: holds a NUL character (about row {row}): save it as plain UTF-8 text")
    return text


def read_sheet(path: Path) -> Sheet:
    """The file as a sheet; Unusable where it is no CSV or its header tells no kind."""
    rows = _rows(path)
    if not rows or not any(cell.strip() for cell in rows[0]):
        raise Unusable(
            f"{path} row 1: there is no header row: give one, such as {','.join(TABLES[-1].columns)}"
        )
    named = [_known_name(cell) for cell in rows[0]]
    table = _table(path, named)
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
    return Sheet(str(path), table, columns, extra, tuple(lines), tuple(misshapen))


def _rows(path: Path) -> list[list[str]]:
    text = read_text(path)
    csv.field_size_limit(sys.maxsize)
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error as error:
        raise Unusable(f"{path} row {len(rows) + 1}: not well-formed CSV: {error}") from error
    return rows


def _known_name(cell: str) -> str:
    return "_".join(cell.strip().casefold().replace("-", " ").replace("_", " ").split())


def _table(path: Path, named: Sequence[str]) -> Table:
    found = next((table for table in TABLES if all(name in named for name in table.told_by)), None)
    if found is None:
        kinds = "; ".join(f"{table.name}: {', '.join(table.told_by)}" for table in reversed(TABLES))
        raise Unusable(f"{path} row 1: the header tells no kind of file; needed columns: {kinds}")
    missing = [name for name in found.needed if name not in named]
    if missing:
        raise Unusable(f"{path} row 1: a {found.name} file needs the column {', '.join(missing)}")
    return found


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
