"""The studio as TOML tables and as the text of a ``studio.toml``."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from core.store.studio.fields import (
    CAPTURE,
    CHAMBER,
    COMFORT,
    DECK,
    HOURS,
    MINUTES,
    STUDIO,
    TABLES,
    TREATMENT,
    told,
)
from core.studio.studio import Studio

Tables = dict[str, Any]
"""Plain TOML: a table, or a list of tables, by name."""


def studio_tables(studio: Studio) -> Tables:
    """The tables from which the same studio is read again; what it says beyond what we know at its place."""
    several = (
        ("deck", DECK, studio.decks),
        ("chamber", CHAMBER, studio.chambers),
        ("treatment", TREATMENT, studio.treatments),
        ("hours", HOURS, studio.hours),
    )
    tables: dict[str, object] = {"studio": told(studio, STUDIO)}
    tables |= {name: [told(one, fields) for one in ones] for name, fields, ones in several if ones}
    if studio.capture:
        tables["capture"] = told(studio.capture, CAPTURE)
    tables["minutes"] = told(studio.minutes, MINUTES)
    tables["comfort"] = told(studio.comfort, COMFORT)
    tables = {name: tables[name] for name in TABLES if name in tables}
    for path, key, text in studio.extra:
        _place(tables, path)[key] = json.loads(text)
    return tables


def _place(tables: dict[str, object], path: str) -> dict[str, object]:
    place: Any = tables
    for step in path.split(".") if path else ():
        name, _, number = step.partition("[")
        place = place.setdefault(name, {})
        place = place[int(number[:-1]) - 1] if number else place
    found: dict[str, object] = place
    return found


def studio_text(studio: Studio) -> str:
    """The text of a ``studio.toml``."""
    return "\n".join(_lines(studio_tables(studio))) + "\n"


def _lines(tables: Tables) -> Iterator[str]:
    bare = {key: value for key, value in tables.items() if not _table(value) and not _array(value)}
    for key, value in bare.items():
        yield f"{_key(key)} = {toml_text(value)}"
    first = not bare
    for key, value in tables.items():
        if key in bare:
            continue
        for head, one in (
            [(f"[[{_key(key)}]]", one) for one in value] if _array(value) else [(f"[{_key(key)}]", value)]
        ):
            if not first:
                yield ""
            first = False
            yield head
            for name, inner in one.items():
                yield f"{_key(name)} = {toml_text(inner)}"


def _table(value: object) -> bool:
    return isinstance(value, dict) and set(value) != {"toml"}


def _array(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(_table(one) for one in value)


def _key(key: str) -> str:
    plain = key and all(c.isascii() and (c.isalnum() or c in "_-") for c in key)
    return key if plain else _quoted(key)


def toml_text(value: object) -> str:
    """A plain value as TOML text."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, dict):
        if set(value) == {"toml"}:
            return str(value["toml"])
        inner = ", ".join(f"{_key(key)} = {toml_text(one)}" for key, one in value.items())
        return "{ " + inner + " }" if inner else "{}"
    if isinstance(value, list):
        return "[" + ", ".join(toml_text(one) for one in value) + "]"
    return repr(value)


def _quoted(text: str) -> str:
    """A basic TOML string: JSON's escapes are among TOML's, DEL apart."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
