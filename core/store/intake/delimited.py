"""Rows of a text file: UTF-8, columns separated by commas, semicolons, tabs or ``|``, any line end."""

from __future__ import annotations

import codecs
import csv
import io
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from core.errors import Unusable

SEPARATORS = ",;\t|"
#: How many of a header's cells are names that we know.
KnownNames = Callable[[list[str]], int]


def read_text(path: Path) -> str:
    """The file's text; Unusable where it cannot be read, changes meanwhile, or is not UTF-8."""
    content = read_bytes(path)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if b"\0" in content and not content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            raise Unusable(
                f"{path}: not a file of text but of another kind: name a CSV, xlsx or ods"
            ) from error
        row = content[: error.start].count(b"\n") + 1
        raise Unusable(
            f"{path}: not UTF-8 (byte {error.start + 1}, about row {row}): save it as UTF-8"
        ) from error
    if "\0" in text:
        row = text[: text.index("\0")].count("\n") + 1
        raise Unusable(f"{path}: holds a NUL character (about row {row}): save it as plain UTF-8 text")
    return text


def read_bytes(path: Path) -> bytes:
    """The whole file; Unusable where it cannot be read, or is being written while it is read."""
    try:
        before = path.stat()
        content = path.read_bytes()
        after = path.stat()
    except OSError as error:
        raise Unusable(f"{path}: cannot be read: {error.strerror or error}") from error
    grown = (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns)
    if grown or (after.st_size and len(content) != after.st_size):
        raise Unusable(f"{path}: it changed while it was read: try again when it is written")
    return content


def as_they_are(paths: Iterable[Path]) -> tuple[tuple[int, int], ...]:
    """Length and last change of every file; nothing where one cannot be asked."""
    try:
        return tuple((one.stat().st_size, one.stat().st_mtime_ns) for one in paths)
    except OSError:
        return ()


@contextmanager
def read_whole(paths: Sequence[Path], were: tuple[tuple[int, int], ...]) -> Iterator[None]:
    """Unusable where one of the files was written since: what is taken, or is wrong, would be half of it."""
    try:
        yield
    finally:
        for path, was, now in zip(paths, were, as_they_are(paths), strict=False):
            if was != now:
                raise Unusable(f"{path}: it changed while it was read: try again when it is written")


def text_rows(path: Path, known: KnownNames) -> list[list[str]]:
    """The file's rows as cells, the separator told by the header row."""
    text = read_text(path)
    csv.field_size_limit(sys.maxsize)
    said, head, rest = text.partition("\n")
    named = re.fullmatch(r'"?sep=(.)"?\s*', said, re.IGNORECASE)
    rows: list[list[str]] = []
    text = rest if named and head else text  # a line for the office program alone is no row
    separator = named[1] if named else _separator(text, known)
    try:
        rows.extend(csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True))
    except csv.Error as error:
        raise Unusable(f"{path} row {len(rows) + 1}: not well-formed CSV: {error}") from error
    return rows


def _separator(text: str, known: KnownNames) -> str:
    """The separator by which the header has most names that we know, and then most cells."""

    def told(separator: str) -> tuple[int, int]:
        lines = io.StringIO(text[:20_000], newline="")
        try:
            header = next(csv.reader(lines, delimiter=separator), [])
        except csv.Error:
            header = []
        return known(header), len(header)

    return max(SEPARATORS, key=told)
