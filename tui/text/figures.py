"""Where the figures of a place or a sheet come from, as lines of (role, text)."""

from __future__ import annotations

from collections.abc import Iterator

from core.shelf import Shelf
from core.tape.told.shown import shown
from core.tape.where import NONE, source_of
from tui.text.sourced import own_figures, sourced_json


def figures_lines(where: str, shelf: Shelf | None = None) -> Iterator[tuple[str, str]]:
    """Each figure with how it is got and its rows; then each row once, with its value and source."""
    own = own_figures(shelf) if shelf is not None else NONE
    yield "head", f"Figures of {where}"
    for one in shown()[where]:
        rows = f" Rows: {', '.join(one.keys)}." if one.keys else ""
        yield "word", f"{one.figure}: {one.how}.{rows}"
    keys = dict.fromkeys(key for one in shown()[where] for key in one.keys)
    if keys:
        yield "head", "The rows, each with its source"
    for key in keys:
        found = source_of(key, own)
        value = "" if isinstance(found.value, dict) else f"{found.value} {found.unit}".rstrip() + ". "
        says = found.says or "; ".join(f"{k} {v}" for k, v in dict(found.value).items() if v not in ("", []))
        note = f" {found.row.note}" if found.row.note else ""
        yield "dim", f"{key}: {value}{says}{note} Source: {found.row.cited}."


def figures_json(where: str, shelf: Shelf | None = None) -> dict[str, object]:
    """The same as one plain value."""
    own = own_figures(shelf) if shelf is not None else NONE
    return {
        "where": where,
        "figures": [
            {
                "figure": one.figure,
                "how": one.how,
                "rows": [sourced_json(source_of(k, own)) for k in one.keys],
            }
            for one in shown()[where]
        ],
    }
