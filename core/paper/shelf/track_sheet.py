"""Track sheets, filled or blank, as the grid that is known from paper: one cell a track."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank
from core.paper.look.page import Sheet, bind, column, origin, room_down
from core.paper.look.tell import facts
from core.paper.look.text import DECK, SMALL, Text, Type
from core.paper.shelf.track_grid import Grid, row_told, span_told, tracks_drawn
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow


def track_sheets(
    shelf: Shelf, reels: Sequence[Reel], *, size: str = "A4", made: datetime, loose: bool = False
) -> bytes:
    """The track sheets of some reels, a page a sheet; a reel without one gets a blank grid of its tracks.

    ``loose`` adds the sheets that belong to no reel yet, or to one that is not on the shelf.
    """
    pages = [page for reel in reels for page in reel_sheets(shelf, reel, size)]
    if loose:
        rows = [row for row in shelf.sheets if row.reel not in shelf.reels]
        pages += [_page(shelf, None, name, part, size) for name, part in _by_sheet(rows)]
    return bind(pages or [_page(shelf, None, "", (), size)], origin(shelf, None, made), size)


def reel_sheets(shelf: Shelf, reel: Reel, size: str = "A4") -> list[Sheet]:
    """The pages of one reel: one for each of its sheets, or a blank one."""
    pages = [_page(shelf, reel, name, rows, size) for name, rows in _by_sheet(shelf.sheets_of(reel.key))]
    return pages or [_page(shelf, reel, "", (), size)]


def _by_sheet(rows: Iterable[SheetRow]) -> list[tuple[str, tuple[SheetRow, ...]]]:
    found: dict[str, list[SheetRow]] = {}
    for row in rows:
        found.setdefault(row.sheet, []).append(row)
    return [(name, tuple(part)) for name, part in found.items()]


def _page(shelf: Shelf, reel: Reel | None, name: str, rows: Sequence[SheetRow], size: str) -> Sheet:
    wide = column(size)
    songs = dict.fromkeys(row.song for row in rows if row.song)
    titles = [
        f"{said(key)} {said(shelf.songs[key].title)}" if key in shelf.songs else said(key) for key in songs
    ]
    dates = dict.fromkeys(said(row.date) for row in rows if row.date)
    story: list[Flowable] = []
    if reel is not None:
        story.append(Text(facts(shelf, reel), DECK, 2))
    if titles:
        story.append(Text(", ".join(titles), Type(10, bold=True), 2))
    else:
        story.append(Blank("Song", height=20))
    if not rows:
        story.append(Blank("Date and studio", height=20))
    times = [
        f"{said(key)} {span_told(shelf, key, reel)}"
        for key in songs
        if reel is not None and span_told(shelf, key, reel)
    ]
    if times:
        story.append(Text("on this tape: " + ", ".join(times), DECK, 2))
    untold = [row for row in rows if row.track is None]
    foot = [figures_foot("track sheet")] if reel is not None else []  # a loose sheet prints no figure
    small = sum(one.wrap(wide, 100)[1] + one.getSpaceBefore() for one in foot)
    high = room_down(size) - 92 - 10 * len(untold) - small
    story.append(Grid(rows, tracks_drawn(reel, rows), wide, high))
    story += [Text(f"no track told: {row_told(row)}", SMALL, 1) for row in untold[:6]]
    story += [Blank("Remarks", height=18), *foot]
    of = f"Track sheet {said(name)}".rstrip() + (f", {said(reel.key)}" if reel is not None else "")
    return Sheet(of, tuple(story), "; ".join(dates) or ("blank" if not rows else ""))
