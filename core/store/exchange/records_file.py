"""records.json: whatever a shelf holds beside its reels, songs, sheets and history, as one file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import orjson

from core.errors import Unusable
from core.store.intake.delimited import read_text


class Record(NamedTuple):
    """One record with the file and the number under which it stands there."""

    file: str
    number: int
    kind: str
    key: str
    value: Any


def read_records(path: Path) -> list[Record]:
    """The records of such a file; Unusable where it is none."""
    try:
        document = orjson.loads(read_text(path))
    except orjson.JSONDecodeError as error:
        raise Unusable(
            f"{path}: not JSON (line {error.lineno}): give a records.json from an export"
        ) from error
    if not isinstance(document, dict) or document.get("reelturn records") != 1:
        raise Unusable(f"{path}: not the records of a shelf: give a records.json from an export")
    return list(_records(path, document.get("records")))


def _records(path: Path, listed: object) -> Iterator[Record]:
    if not isinstance(listed, list):
        raise Unusable(f"{path}: holds no list of records")
    for number, one in enumerate(listed, 1):
        words = isinstance(one, dict) and all(
            isinstance(one.get(name), str) and one[name] for name in ("kind", "key")
        )
        if not words or one.get("value") is None:
            raise Unusable(f"{path} record {number}: needs kind, key and value")
        yield Record(str(path), number, one["kind"], one["key"], one["value"])
