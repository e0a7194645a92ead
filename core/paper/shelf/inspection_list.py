"""The inspection list: a line for every reel that nobody has looked at, ten a page, along the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from reportlab.platypus import PageBreak
from reportlab.platypus.flowables import Flowable

from core.errors import Refused
from core.evening.around.where_it_lies import reels_to_look_at
from core.paper.look.look import gap
from core.paper.look.look_lines import look_table, look_words
from core.paper.look.page import Sheet, bind, column, origin, room_down
from core.paper.look.text import Text, Type
from core.reels.reel import Reel
from core.shelf import Shelf
from core.tape.cautions import DEFERS, cautions
from core.words import counted

A_PAGE = 10
_CARE = Type(7, before=2)


def inspection_list(shelf: Shelf, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of the list, its last page filled up with empty lines; Refused where all were looked at."""
    reels = reels_to_look_at(shelf)
    if not reels:
        raise Refused("no reel is left to look at: none to inspect")
    aside = (
        f"{counted(len(reels), 'reel')} that nobody has looked at, along the shelf; a line each, ten a page"
    )
    return bind(
        [Sheet("Inspection list", tuple(_story(reels, size)), aside)], origin(shelf, None, made), size
    )


def _story(reels: tuple[Reel, ...], size: str) -> Iterator[Flowable]:
    wide = column(size)
    for first in range(0, len(reels), A_PAGE):
        page = reels[first : first + A_PAGE]
        if first:
            yield PageBreak()
        yield from look_words()
        yield Text(
            "Typed in on the chart: P, then what was seen; the reels come in this order.", Type(8, bold=True)
        )
        yield gap(3)
        spare = (None,) * (A_PAGE - len(page))
        yield look_table((*page, *spare), wide, (room_down(size) - 150) / A_PAGE)
        yield Text(_care(), _CARE)


def _care() -> str:
    """What may hurt whoever opens old boxes."""
    found = [one for step in ("identify", "mould") for one in cautions(step) if one.weight == "person"]
    once = dict.fromkeys(f"{one.hazard} {one.usual}" for one in found)
    return " ".join([*once, DEFERS])
