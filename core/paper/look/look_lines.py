"""One line a reel for what the eye can tell, to fill in by hand: on the order and on the inspection list."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus import Table

from core.paper.look.line_order import said
from core.paper.look.look import Blanks, Cell, stacked, table
from core.paper.look.text import SMALL, SMALL_STRONG, TINY, Text, Type
from core.reels.looked_at import ANSWERS, BASE_SEEN, LOOK, LOOKED_AT, SEVERAL, wanted
from core.reels.reel import Reel
from core.words import listed

HEADS = {"base_seen": "seen"}
_WIDTHS = {
    "width": 14, "tracks": 13, "condition": 24, "signs": 22, "base": 17, "base_seen": 10, "splices": 13,
    "wind": 11, "stock": 23, "speed": 14,
}  # fmt: skip
_NAME = Type(10, bold=True)


def look_table(reels: Sequence[Reel | None], wide: float, tall: float, *, keys_alone: bool = False) -> Table:
    """The lines, ``tall`` points high each; what is known stands in its cell, None is an empty line.

    ``keys_alone``: what is on the box and where it lies stand elsewhere on the sheet.
    """
    head: list[Cell] = ["reel", *(HEADS.get(name, name) for name in LOOKED_AT)]
    named = _key if keys_alone else _name
    rows = [[named(reel), *(_known(reel, name) for name in LOOKED_AT)] for reel in reels]
    shares = [20 if keys_alone else 35, *_WIDTHS.values()]
    return table(
        head, rows, shares, column=wide, type_=SMALL, box=True, tall=tall, close=keys_alone,
        most=2 if keys_alone else 8,
    )  # fmt: skip


def blanks_of(reel: Reel) -> Blanks:
    """A line to write on for each field that nothing answers yet."""
    return Blanks([(LOOKED_AT[name], 2 * _WIDTHS[name]) for name in wanted(reel)])


def answers_alone() -> Text:
    """The answers by their digits and nothing more, for lines that are set close."""
    told = [
        f"{HEADS.get(name, name)} " + " ".join(f"{digit} {word}," for digit, word in enumerate(words, 1))
        for name, words in ANSWERS.items()
    ]
    return Text(f"Digit or word: {'; '.join(one.rstrip(',') for one in told)}.", TINY)


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


def _key(reel: Reel | None) -> Cell:
    return Text(said(reel.key), SMALL_STRONG, 2) if reel is not None else ""


def _name(reel: Reel | None) -> Cell:
    if reel is None:
        return ""
    what = said(reel.box_label or reel.contents or "box says nothing")
    lines = [Text(said(reel.key), _NAME, 1), Text(what, TINY, 2)]
    return stacked(*lines, *([Text(said(reel.location), SMALL_STRONG, 1)] if reel.location else []))


def _known(reel: Reel | None, name: str) -> str:
    there = getattr(reel, name) if reel is not None else None
    if there in (None, "", ()):
        return ""
    return said("; ".join(map(str, there)) if isinstance(there, tuple) else str(there))
