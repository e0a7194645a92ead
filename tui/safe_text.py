"""The only maker of screen text: what a person typed is shown as it is, and is never markup."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from textwrap import wrap

from rich.cells import cell_len
from textual.content import Content

#: Characters that would move other text about or do something to a terminal; each is shown as a space.
_CARRIAGE = {"\n", "\r", "\t", "\v", "\f", "\x85", "\u2028", "\u2029"}


@lru_cache(4096)
def clean(text: str) -> str:
    """The text on one line, without control and direction-changing characters."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        " " if one in _CARRIAGE else one
        for one in text
        if one in _CARRIAGE or unicodedata.category(one) not in ("Cc", "Cf", "Cs", "Co", "Cn")
    )


def cells(text: str) -> int:
    """How many columns of the terminal the text takes."""
    return len(text) if text.isascii() else cell_len(text)


def fit(text: str, width: int, *, right: bool = False) -> str:
    """The text in exactly ``width`` columns: filled up with spaces, or cut with two dots at its end."""
    shown = clean(text)
    taken = cells(shown)
    if taken > width:
        shown = _cut(shown, width)
        taken = cells(shown)
    gap = " " * (width - taken)
    return gap + shown if right else shown + gap


def whole(text: str, width: int, *, most: int = 3, indent: str = "   ") -> str:
    """The text broken by words into rows of ``width`` columns each; what ``most`` rows do not hold is cut."""
    rows = wrap(clean(text), max(20, width), subsequent_indent=indent, break_on_hyphens=False)
    rows = rows if len(rows) <= most else [*rows[: most - 1], " ".join([rows[most - 1], *rows[most:]])]
    return "\n".join(fit(row, width) for row in rows)


def _cut(text: str, width: int) -> str:
    if width <= 2:
        return "." * max(0, width)
    kept, taken = [], 0
    for one in text:
        step = cells(one)
        if taken + step > width - 2:
            break
        kept.append(one)
        taken += step
    return "".join(kept) + ".."


def plain(text: str, style: str = "") -> Content:
    """A whole text for a widget, many lines allowed, nothing in it read as markup."""
    lines = "\n".join(clean(line) for line in text.split("\n"))
    return Content.styled(lines, style) if style else Content(lines)


def assemble(*parts: str | tuple[str, str]) -> Content:
    """One text of several pieces, each with a style of its own or none."""
    pieces = [plain(part) if isinstance(part, str) else plain(part[0], part[1]) for part in parts]
    return Content("").join(pieces)
