"""One line a reel for what the eye can tell, to fill in by hand: on the order and on the inspection list."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Table

from core.paper.look.line_order import said
from core.paper.look.look import Cell, stacked, table
from core.paper.look.text import SMALL, SMALL_STRONG, TINY, Text, Type
from core.reels.looked_at import ANSWERS, BASE_SEEN, LOOK, LOOKED_AT, SEVERAL
from core.reels.reel import Reel
from core.words import listed

HEADS = {"base_seen": "seen"}
_WIDTHS = {
    "width": 14, "tracks": 13, "condition": 24, "signs": 22, "base": 17, "base_seen": 10, "splices": 13,
    "wind": 11, "stock": 23, "speed": 14,
}  # fmt: skip
_KEY = Type(10, bold=True)


def look_table(reels: Sequence[Reel | None], wide: float, tall: float) -> Table:
    """The lines, ``tall`` points high each; what is known stands in its cell, None is an empty line."""
    head: list[Cell] = ["reel", *(HEADS.get(name, name) for name in LOOKED_AT)]
    rows = [[_name(reel), *(_known(reel, name) for name in LOOKED_AT)] for reel in reels]
    return table(head, rows, [35, *_WIDTHS.values()], column=wide, type_=SMALL, box=True, tall=tall)


def look_words() -> tuple[Text, ...]:
    """What may be written on a line, by its digit or in words."""
    told = [
        f"{HEADS.get(name, name)}{' (several may be)' if name in SEVERAL else ''}: "
        + ", ".join(f"{digit} {word}" for digit, word in enumerate(words, 1))
        for name, words in ANSWERS.items()
    ]
    first = (
        f"{LOOK} Write the digit or the word; what stands there is known already; leave empty what nobody "
        f"can tell. Seen is {BASE_SEEN}. Write the reel's key on its flange or leader."
    )
    return Text(first, SMALL), Text(". ".join(told) + ".", SMALL)


def typed_back(reels: Sequence[Reel]) -> str:
    """Which keys take these lines in."""
    keys = listed([said(reel.key) for reel in reels])
    return f"Typed in on the chart: Space on {keys}, or P for one after the other; the digits are the same."


def _name(reel: Reel | None) -> Cell:
    if reel is None:
        return ""
    what = said(reel.box_label or reel.contents or "box says nothing")
    lines = [Text(said(reel.key), _KEY, 1), Text(what, TINY, 2)]
    return stacked(*lines, *([Text(said(reel.location), SMALL_STRONG, 1)] if reel.location else []))


def _known(reel: Reel | None, name: str) -> str:
    there = getattr(reel, name) if reel is not None else None
    if there in (None, "", ()):
        return ""
    return said("; ".join(map(str, there)) if isinstance(there, tuple) else str(there))
