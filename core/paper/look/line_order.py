"""In which order letters stand on the line, and in which shapes: text that reads from the right."""

from __future__ import annotations

import re
import unicodedata

BOX = "\N{WHITE SQUARE}"
"""Stands for a letter that no face has."""
CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufff9-\ufffb]")
_OVERRIDES = re.compile(r"[\u202a-\u202e\u2066-\u2069\u061c]")
UNSEEN = re.compile(r"[\u00ad\u034f\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufe00-\ufe0f]")
_TURNED = re.compile(r"[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff]")
_ARABIC = re.compile(r"[\u0600-\u06ff\u0750-\u077f\u08a0-\u08ff]")
_ISOLATE, _POP = "\u2068", "\u2069"
_APART = re.compile(f"{_ISOLATE}([^{_ISOLATE}{_POP}]*)(?:{_POP}|$)")
_STAND_INS = (0x2500, 0x2600, 0x2190)  # runs of signs that are neutral, as an isolate is from outside


def said(text: str) -> str:
    """A person's words for use inside a sentence of ours: on one line, and no direction leaks out of them."""
    words = " ".join(_OVERRIDES.sub("", CONTROL.sub(" ", text)).split())
    return f"{_ISOLATE}{words}{_POP}" if _TURNED.search(words) else words


def joined_up(text: str) -> str:
    """Arabic letters in the shapes that they take beside one another; other text as it is."""
    if not _ARABIC.search(text):
        return text
    from arabic_reshaper import reshape  # type: ignore[import-untyped]

    return str(reshape(text))


def in_line_order(line: str) -> str:
    """One line of text in the order in which its letters stand from left to right on the paper.

    What ``said`` set apart is ordered by itself and stands in the line as one neutral thing, as UAX #9 has
    it for isolates; a line may begin or end within such a part.
    """
    if not _TURNED.search(line):
        return UNSEEN.sub("", line)
    from bidi.algorithm import get_display  # type: ignore[import-untyped]

    parts: list[str] = []
    free = (first for first in _STAND_INS if not any(first <= ord(one) < first + 100 for one in line))
    first = next(free, _STAND_INS[0])

    def aside(match: re.Match[str]) -> str:
        parts.append(in_line_order(match[1]))
        return chr(first + len(parts) - 1)

    opens, closes = line.find(_ISOLATE), line.find(_POP)
    goes_on = closes >= 0 and (opens < 0 or closes < opens)
    whole = _APART.sub(aside, _ISOLATE + line if goes_on else line)
    known = "".join(one if unicodedata.bidirectional(one) else BOX for one in _OVERRIDES.sub("", whole))
    shown = str(get_display(known))
    shown = "".join(parts[at] if 0 <= (at := ord(one) - first) < len(parts) else one for one in shown)
    return UNSEEN.sub("", shown)


def reads_from_right(text: str) -> bool:
    """True if the first letter that has a direction runs from right to left; what is set apart comes last."""
    for letter in _APART.sub("", text) + text:
        direction = unicodedata.bidirectional(letter)
        if direction in ("R", "AL"):
            return True
        if direction == "L":
            return False
    return False
