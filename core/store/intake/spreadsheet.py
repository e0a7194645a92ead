"""Rows of a spreadsheet's file: what its cells show, as text, from its first sheet that tells a kind."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from core.errors import Unusable
from core.store.intake.delimited import KnownNames, read_bytes
from core.store.intake.ods_cells import ERROR, MERGED, UNWORKED, odd_cells


def spreadsheet_rows(path: Path, known: KnownNames) -> list[list[str]]:
    """The rows of the one sheet that holds rows; Unusable where cells tell nothing."""
    import io

    import python_calamine

    content = read_bytes(path)
    try:
        book = python_calamine.load_workbook(io.BytesIO(content))
        sheets = [book.get_sheet_by_name(name) for name in book.sheet_names]
        filled = [(one, one.to_python(skip_empty_area=False)) for one in sheets if one.total_height]
    except (python_calamine.CalamineError, ValueError, OSError) as error:
        raise Unusable(
            f"{path}: cannot be read as a spreadsheet ({str(error).splitlines()[0]}): save it anew, or as CSV"
        ) from error
    if not filled:
        return []
    told = [one for one in filled if known(_row(one[1][0]))]
    if len(told) > 1:
        names = ", ".join(one.name for one, _ in told)
        raise Unusable(f"{path}: rows stand in the sheets {names}: give each a file of its own")
    sheet, rows = told[0] if told else filled[0]
    _refuse_merged(path, sheet)
    if path.suffix.casefold() == ".xlsx":
        _refuse_unworked(path, content, sheet.name)
    elif path.suffix.casefold() == ".ods":
        for row, column, what in odd_cells(content, sheet.name):
            raise _odd(path, f"row {row + 1}, column {_letters(column)}", what)
    return list(_even(rows))


def _even(rows: Sequence[Sequence[object]]) -> Iterator[list[str]]:
    """The rows as text, cut to the width of the header: blank cells behind it are no cells."""
    wide = 0
    for row in rows:
        cells = _row(row)
        while cells and not cells[-1] and len(cells) > wide:
            cells.pop()
        wide = wide or len(cells)
        yield cells


def _row(cells: Sequence[object]) -> list[str]:
    return [_text(cell) for cell in cells]


def _text(cell: object) -> str:
    """A cell as one types it: whole numbers without a point, times by the clock."""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        whole = cell.hour == cell.minute == cell.second == 0
        return cell.date().isoformat() if whole else cell.isoformat(timespec="minutes")
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return f"{cell.hour}:{cell.minute:02}:{cell.second:02}"
    if isinstance(cell, timedelta):
        minutes, seconds = divmod(round(cell.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02}:{seconds:02}"
    return str(cell)


def _refuse_merged(path: Path, sheet: Any) -> None:
    try:
        merged = sheet.merged_cell_ranges
    except Exception:  # a format of which the reader does not tell them
        merged = None
    for start, _ in merged or ():
        row, column = start
        raise _odd(path, f"row {row + 1}, column {_letters(column)}", MERGED)


def _refuse_unworked(path: Path, content: bytes, name: str) -> None:
    """A formula that no spreadsheet has worked out yet shows nothing: it would be lost without a word."""
    import io

    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        part = _sheet_part(parts, name)
        xml = parts.read(part).decode("utf-8", "replace") if part else ""
    for cell in re.finditer(r'<c r="([A-Z]+)(\d+)"[^>]*>(.*?)</c>', xml, re.DOTALL):
        where = f"row {cell[2]}, column {cell[1]}"
        if re.search(r'\bt="e"', cell[0].partition(">")[0]):
            raise _odd(path, where, ERROR)
        if "<f" in cell[3] and not re.search(r"<(?:v|is)>[^<]|<t", cell[3]):
            raise _odd(path, where, UNWORKED)


_SAYS = {
    MERGED: "cells are merged there: take them apart, so that every row has cells of its own",
    UNWORKED: "a formula that was not worked out: open it in a spreadsheet and save it, or save it as CSV",
    ERROR: "the spreadsheet shows an error there: mend its formula, or type the value",
}


def _odd(path: Path, where: str, what: str) -> Unusable:
    return Unusable(f"{path} {where}: {_SAYS[what]}")


def _sheet_part(parts: zipfile.ZipFile, name: str) -> str:
    """The part of an xlsx that holds the sheet of that name."""
    from html import unescape

    listed = parts.read("xl/workbook.xml").decode("utf-8", "replace")
    links = parts.read("xl/_rels/workbook.xml.rels").decode("utf-8", "replace")
    for sheet in re.findall(r"<(?:\w+:)?sheet\b[^>]*>", listed):
        called, link = re.search(r'\bname="([^"]*)"', sheet), re.search(r'\b\w+:id="([^"]*)"', sheet)
        if called is None or link is None or unescape(called[1]) != name:
            continue
        for one in re.findall(r"<Relationship\b[^>]*>", links):
            if f'Id="{link[1]}"' in one:
                target = re.search(r'Target="([^"]*)"', one)
                return "xl/" + target[1].removeprefix("/xl/") if target else ""
    return ""


def _letters(column: int) -> str:
    letters = ""
    column += 1
    while column:
        column, left = divmod(column - 1, 26)
        letters = chr(65 + left) + letters
    return letters
