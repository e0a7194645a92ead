"""TinyDB's tables in one file that is read whole, written whole, and never half.

Layout: a JSON object of TinyDB tables, of which the last, ``sum``, holds a checksum of all bytes before it.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import orjson

from core.store.disk.atomic import write_whole

_SUM = b',"sum":{"1":{"crc32":'
Tables = dict[str, dict[str, Any]]


class Damaged(ValueError):
    """Bytes that are not, or no longer, what a storage wrote; the text says where they break."""


def encoded(tables: Tables) -> bytes:
    """The file's bytes for these tables, with the checksum at their end."""
    body = orjson.dumps({name: table for name, table in tables.items() if name != "sum"})[:-1]
    return body + _SUM + str(zlib.crc32(body)).encode() + b"}}}"


def decoded(content: bytes) -> Tables:
    """The tables in these bytes; Damaged where they are not what was once written."""
    try:
        tables = orjson.loads(content)
    except orjson.JSONDecodeError as error:
        raise Damaged(
            f"it breaks at byte {error.pos} of {len(content)}" if content else "it is empty"
        ) from error
    if not isinstance(tables, dict) or not all(isinstance(table, dict) for table in tables.values()):
        raise Damaged("it holds no tables")
    return tables


def intact(content: bytes) -> bool:
    """True if the checksum at the end fits the bytes before it."""
    at = content.rfind(_SUM)
    return at >= 0 and content[at + len(_SUM) :] == str(zlib.crc32(content[:at])).encode() + b"}}}"


def write_tables(path: Path, tables: Tables, before_replacing: Callable[[], None] = lambda: None) -> None:
    """Writes the tables in the place of ``path``, atomically."""
    write_whole(path, encoded(tables), before_replacing)
