"""A studio's file with a word on every key, and empty files of every kind, to fill in by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from core.errors import Unusable
from core.store.disk.atomic import write_whole
from core.store.rows.csv_text import csv_text
from core.store.rows.tables import REELS, SEGMENTS, SHEETS, SONGS
from core.store.studio.fields import ARRAYS, TABLES, Field
from core.store.studio.first_studio import studio_of
from core.store.studio.text import studio_tables, toml_text
from core.studio.studio import Studio

HEAD = """# The studio: its decks, its hours, and how it works. Change what is not so; a key behind # is off.
# Then: reelturn new --studio studio.toml
"""


def template_text(zone: str = "UTC") -> str:
    """A commented studio.toml of a small studio with one deck, to be changed."""
    return HEAD + "\n" + commented_text(studio_of({"trays": "4"}, zone))


def commented_text(studio: Studio) -> str:
    """The studio's file with what every key tells behind it; keys that are off stand there as comments."""
    tables = studio_tables(studio)
    lines: list[str] = []
    for name, fields in TABLES.items():
        several = tables.get(name, []) if name in ARRAYS else [tables.get(name, {})]
        for number, one in enumerate(several):
            head = f"[[{name}]]" if name in ARRAYS else f"[{name}]"
            lines += [head, *_lines(one, fields, first=number == 0), ""]
    return "\n".join(lines)


def _lines(told: dict[str, object], fields: tuple[Field, ...], *, first: bool) -> Iterator[str]:
    for field in fields:
        says = re.sub(r"\[([^]]*)\]\(\S+\)", r"\1", field.says).replace("`", "").replace("*", "")
        if field.key in told:
            line = f"{field.key} = {toml_text(told[field.key])}"
            yield f"{line:<40} # {says}" if first else line
        elif first:
            line = f"# {field.key} ="
            default = f" ({field.default})".replace("`", "") if field.default else ""
            yield f"{line:<40} # {says}{default}"


def write_template(path: Path, zone: str) -> None:
    """Writes a commented studio.toml; Unusable where there is one already."""
    _refuse_over([path])
    write_whole(path, template_text(zone).encode())


def write_templates(folder: Path, zone: str) -> list[Path]:
    """Writes a file of every kind to fill in: its header row, and a commented studio.toml; never over one."""
    texts = {"studio.toml": template_text(zone)}
    texts |= {f"{one.name}.csv": csv_text(list(one.columns), ()) for one in (REELS, SONGS, SHEETS, SEGMENTS)}
    _refuse_over([folder / name for name in texts])
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Unusable(f"{folder}: no folder can be made there: {error.strerror or error}") from error
    for name, text in texts.items():
        write_whole(folder / name, text.encode())
    return [folder / name for name in texts]


def _refuse_over(paths: list[Path]) -> None:
    there = next((path for path in paths if path.exists()), None)
    if there is not None:
        raise Unusable(f"{there}: there is one already, it was not touched: move it, or name another folder")
