"""Text for pipes and plain terminals: cut and filled to columns, never able to move the cursor."""

from __future__ import annotations

import unicodedata


def clean(text: str) -> str:
    """The text on one line, controls and changes of direction left out."""
    if text.isascii() and text.isprintable():
        return text
    spaced = "".join(" " if one in "\n\r\t\v\f\x85\u2028\u2029" else one for one in text)
    return "".join(one for one in spaced if unicodedata.category(one) not in ("Cc", "Cf", "Cs"))


def columns(text: str) -> int:
    """How many columns the text takes: wide letters two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(
        0 if unicodedata.combining(one) else 2 if unicodedata.east_asian_width(one) in "WF" else 1
        for one in text
    )


def fit(text: str, width: int, *, right: bool = False) -> str:
    """The text in exactly ``width`` columns, cut with two dots where it is longer."""
    shown = clean(text)
    if columns(shown) > width:
        while shown and columns(shown) > max(0, width - 2):
            shown = shown[:-1]
        shown += ".." if width >= 2 else ""
    gap = " " * max(0, width - columns(shown))
    return gap + shown if right else shown + gap
