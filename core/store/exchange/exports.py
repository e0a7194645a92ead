"""The shelf as files: studio.toml, the CSV files, and records.json with whatever else it holds."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, tzinfo
from pathlib import Path

import orjson

from core.clock import read_time, write_time
from core.errors import Unusable
from core.shelf import Shelf
from core.store.disk.atomic import write_whole
from core.store.rows.csv_text import csv_text
from core.store.rows.table import Rowed, Table
from core.store.rows.tables import HISTORY, REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.text import studio_text

RECORDS = "records.json"


def export_shelf(shelf: Shelf, folder: Path) -> list[Path]:
    """Writes the shelf's files into the folder, over earlier ones of the same names, and names them."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unusable(f"{folder}: no folder can be made there: {error.strerror or error}") from error
    written = []
    for name, text in files_of(shelf).items():
        write_whole(folder / name, text.encode())
        written.append(folder / name)
    return written


def files_of(shelf: Shelf) -> dict[str, str]:
    """The text of every file of an export, by name."""
    tables: tuple[tuple[Table[Rowed], Iterable[Rowed]], ...] = (
        (REELS, shelf.reels.values()),
        (SONGS, shelf.songs.values()),
        (SHEETS, shelf.sheets),
        (HISTORY, shelf.history),
        (SEGMENTS, shelf.segments),
    )
    out = {"studio.toml": studio_text(shelf.studio)}
    for table, values in tables:
        out[f"{table.name}.csv"] = _table_text(shelf, table, list(values))
    out[RECORDS] = records_text(shelf)
    return out


def _table_text(shelf: Shelf, table: Table[Rowed], values: list[Rowed]) -> str:
    seen = dict.fromkeys(shelf.of_kind("file columns").get(table.name, ()))
    seen |= dict.fromkeys(name for value in values for name, _ in value.extra)
    header = [*table.columns, *(name for name in seen if name not in table.columns)]
    return csv_text(header, (_row(table, value, shelf.studio.zone) for value in values))


def _row(table: Table[Rowed], value: Rowed, where: tzinfo) -> dict[str, str]:
    cells = table.cells(value)
    for name in cells:
        if table.columns[name].time:
            cells[name] = local_text(getattr(value, table.columns[name].attribute), where)
    return cells | dict(value.extra)


def local_text(moment: datetime, where: tzinfo) -> str:
    """A time by the studio's clock, with its offset only where the clock alone does not tell it."""
    text = write_time(moment.astimezone(where).replace(tzinfo=None))
    try:
        told = read_time(text, where)
        return text if told.astimezone(UTC) == moment.astimezone(UTC) else write_time(moment)
    except ValueError:
        return write_time(moment)


def records_text(shelf: Shelf) -> str:
    """Every record as JSON, one a line, in a fixed order."""
    lines = []
    for kind in sorted(shelf.records):
        for key in sorted(shelf.records[kind]):
            one = {"kind": kind, "key": key, "value": shelf.records[kind][key]}
            lines.append(orjson.dumps(one, option=orjson.OPT_SORT_KEYS).decode())
    return '{"reelturn records": 1, "records": [\n' + ",\n".join(lines) + "\n]}\n"
