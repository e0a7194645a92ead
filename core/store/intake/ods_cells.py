"""What the reader of spreadsheets does not tell of an ods: merged cells, dead formulas, errors."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from xml.etree.ElementTree import Element, ParseError, iterparse

_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_ERRORS = ("Err:", "#DIV/0!", "#NAME?", "#VALUE!", "#REF!", "#N/A", "#NUM!", "#NULL!")

#: Row and column from 0, and what is wrong with the cell there.
Odd = tuple[int, int, str]
MERGED, UNWORKED, ERROR = "merged", "unworked", "error"


def odd_cells(content: bytes, sheet: str) -> Iterator[Odd]:
    """The odd cells of that sheet, row by row; none where the file's own text cannot be read so."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts, parts.open("content.xml") as text:
            here, row = False, 0
            for event, element in iterparse(text, ("start", "end")):
                if element.tag == f"{_TABLE}table":
                    here = event == "start" and element.get(f"{_TABLE}name") == sheet
                elif event == "end" and element.tag == f"{_TABLE}table-row":
                    if here:
                        yield from ((row, column, what) for column, what in _of_row(element))
                        row += _count(element, "number-rows-repeated")
                    element.clear()
    except (KeyError, ParseError, zipfile.BadZipFile, OSError):
        return


def _of_row(row: Element) -> Iterator[tuple[int, str]]:
    column = 0
    for cell in row:
        if _count(cell, "number-columns-spanned") > 1 or _count(cell, "number-rows-spanned") > 1:
            yield column, MERGED
        elif "".join(cell.itertext()).startswith(_ERRORS):
            yield column, ERROR
        elif cell.get(f"{_TABLE}formula") and not cell.get(f"{_OFFICE}value-type"):
            yield column, UNWORKED
        column += _count(cell, "number-columns-repeated")


def _count(element: Element, name: str) -> int:
    told = element.get(f"{_TABLE}{name}", "1")
    return int(told) if told.isdigit() else 1
