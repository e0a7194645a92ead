"""Figures that can be read across a room, five lines high, from one sign."""

from __future__ import annotations

_ROWS = 5
#: Each figure as five rows of three columns, a row as a number of three bits.
_SHAPES: dict[str, tuple[int, ...]] = {
    "0": (7, 5, 5, 5, 7),
    "1": (2, 6, 2, 2, 7),
    "2": (7, 1, 7, 4, 7),
    "3": (7, 1, 3, 1, 7),
    "4": (5, 5, 7, 1, 1),
    "5": (7, 4, 7, 1, 7),
    "6": (7, 4, 7, 5, 7),
    "7": (7, 1, 2, 2, 2),
    "8": (7, 5, 7, 5, 7),
    "9": (7, 5, 7, 1, 7),
    "-": (0, 0, 7, 0, 0),
    "+": (0, 2, 7, 2, 0),
    ":": (0, 2, 0, 2, 0),
    " ": (0, 0, 0, 0, 0),
}


def big(text: str, sign: str = "█") -> list[str]:
    """The text as five lines; each dot is two columns wide so that figures stand upright."""
    lines = []
    for row in range(_ROWS):
        cells = []
        for letter in text:
            bits = _SHAPES.get(letter, _SHAPES[" "])[row]
            dots = (bits >> 1 & 1,) if letter == ":" else (bits >> 2 & 1, bits >> 1 & 1, bits & 1)
            cells.append("".join((sign if dot else " ") * 2 for dot in dots))
        lines.append("  ".join(cells))
    return lines


def countdown(seconds: float) -> str:
    """What is left, ``22:18``, ``1:04:10`` from an hour on, and ``+3:05`` once it is over."""
    over = seconds < 0
    whole = int(-seconds if over else -(-seconds // 1))
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    text = f"{hours}:{minutes:02}:{left:02}" if hours else f"{minutes}:{left:02}"
    return f"+{text}" if over else text
