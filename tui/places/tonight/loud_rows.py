"""Lines of Tonight that are worked out from words alone: what is loud, and which digit names which note."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from core.evening.playing.passes import NOTE_KINDS
from tui.safe_text import cells, clean, fit


def loud_rows(said: Sequence[str], width: int, most: int) -> str:
    """What must be said loudly, each whole, on so many rows at most; what has none is told by count."""
    rows: list[str] = []
    for number, one in enumerate(said):
        more = len(said) - number - 1
        room = most - len(rows) - (1 if more else 0)
        mine = wrap(clean(f"!! {one}"), max(20, width), subsequent_indent="   ")
        if number and len(mine) > room:
            rest = "; ".join(clean(left).partition(": ")[0] for left in said[number:])
            return "\n".join([*rows, fit(f"   and {more + 1} more: {rest}", width)])
        rows += mine if len(mine) <= room else [*mine[: room - 1], fit(" ".join(mine[room - 1 :]), width)]
    return "\n".join(rows)


def kinds(width: int) -> str:
    """Which digit gives which kind of note, all of them on one line."""
    named = [f"{number} {kind}" for number, kind in enumerate(NOTE_KINDS, 1)]
    for gap, words in (("  ", named), (" ", [one.replace("song end", "end") for one in named])):
        line = f" {gap.join(words)}"
        if cells(line) <= width:
            return line
    return " " + " ".join(one[:8] for one in named)
