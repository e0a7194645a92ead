"""The list of loose sheets, to take to the shelf: what each says, and the tape that is proposed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.clock import clock_text
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.text import BODY, SMALL, STRONG, Text
from core.sheets.proposals import Papers, Proposal
from core.sheets.stretch import Stretch
from core.shelf import Shelf


def loose_sheet_list(shelf: Shelf, found: Papers, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of the list; one that says so where no sheet is loose."""
    wide = column(size)
    head: list[Cell] = ["sheet", "says", "most likely", "because", "it is of"]
    story: list[Flowable] = []
    if found.proposals:
        rows = [_row(one) for one in found.proposals]
        story.append(table(head, rows, [10, 24, 18, 34, 14], column=wide, type_=SMALL, most=6))
    else:
        story.append(Text("No sheet is loose.", BODY))
    story += section("Open", *(Text(said(line), SMALL, 3) for line in found.contradictions))
    story += section("Stretches that sound without a sheet", *_stretches(found.bare))
    story += section("Stretches of which no song has its span", *_stretches(found.unspanned))
    put = [Text(f"{said(one.sheet)}  {said(one.words)}", SMALL, 2) for one in found.placed]
    story += section("As you decided", *put)
    gone = [Text(f"{said(paper.key)}  {said(paper.words)}", SMALL, 2) for paper in found.of_no_tape]
    story += section("Of no tape we have", *gone)
    away = [Text(f"{said(paper.key)}  {said(paper.words)}: {said(reel)}", SMALL, 2)
            for paper, reel in found.elsewhere]  # fmt: skip
    story += section("Of tapes that are not on the shelf", *away)
    return bind([Sheet("Loose sheets", tuple(story))], origin(shelf, None, made), size)


def _stretches(places: Iterable[Stretch]) -> Iterator[Text]:
    """A line for each that sounds: its length, how many tracks, and the song that it sounds like."""
    for place in places:
        if place.heard and place.seconds is not None:
            words = f"{place.label}, {clock_text(round(place.seconds))} long, {len(place.sounding)} tracks"
            yield Text(said(words + (f"; {place.take}" if place.take else "")), SMALL, 3)


def _row(one: Proposal) -> list[Cell]:
    where = said(one.choice.label) if one.choice is not None else "none of the tapes"
    others = "; else " + ", ".join(said(place.label) for place, _ in one.others) if one.others else ""
    return [
        Text(said(one.paper.key), STRONG, 2), said(one.paper.words), f"{where}, {one.sure}",
        said("; ".join(one.because)) + others, Blank(height=14),
    ]  # fmt: skip
