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
from core.paper.look.text import SMALL, Text, Type, draw_line
from core.paper.look.words import whole_seconds
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow

_ACROSS = 4
_BLANK_TRACKS = 16


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
        story.append(Text(facts(shelf, reel), SMALL, 2))
    if titles:
        story.append(Text(", ".join(titles), Type(10, bold=True), 2))
    else:
        story.append(Blank("Song", height=20))
    if not rows:
        story.append(Blank("Date and studio", height=20))
    times = [
        f"{said(key)} {_span(shelf, key, reel)}"
        for key in songs
        if reel is not None and _span(shelf, key, reel)
    ]
    if times:
        story.append(Text("on this tape: " + ", ".join(times), SMALL, 2))
    untold = [row for row in rows if row.track is None]
    foot = [figures_foot("track sheet")] if reel is not None else []  # a loose sheet prints no figure
    small = sum(one.wrap(wide, 100)[1] + one.getSpaceBefore() for one in foot)
    high = room_down(size) - 92 - 10 * len(untold) - small
    story.append(_Grid(rows, _tracks(reel, rows), wide, high))
    story += [Text(f"no track told: {_words(row)}", SMALL, 1) for row in untold[:6]]
    story += [Blank("Remarks", height=18), *foot]
    of = f"Track sheet {said(name)}".rstrip() + (f", {said(reel.key)}" if reel is not None else "")
    return Sheet(of, tuple(story), "; ".join(dates) or ("blank" if not rows else ""))


def _span(shelf: Shelf, key: str, reel: Reel) -> str:
    song = shelf.songs.get(key)
    spans = [need for need in song.needs if need.reel == reel.key and need.start is not None] if song else []
    return ", ".join(f"{whole_seconds(n.start or 0)} to {whole_seconds(n.end or 0)}" for n in spans)


def _tracks(reel: Reel | None, rows: Sequence[SheetRow]) -> int:
    told = max((row.track or 0 for row in rows), default=0)
    return min(48, max(told, (reel.tracks or 0) if reel is not None else 0) or _BLANK_TRACKS)


def _words(row: SheetRow) -> str:
    parts = (row.part, row.player, f"take {row.take}" if row.take else "", row.notes)
    return ", ".join(said(part) for part in parts if part)


class _Grid(Flowable):
    """The cells, four across, filled from the left; as high as the page allows."""

    def __init__(self, rows: Sequence[SheetRow], tracks: int, wide: float, high: float) -> None:
        super().__init__()
        self.cells = {number: [row for row in rows if row.track == number] for number in range(1, tracks + 1)}
        self.width, self.down = wide, -(-tracks // _ACROSS)
        self.cell_high = min(110.0, (high - 10) / self.down)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.width, self.down * self.cell_high + 8

    def draw(self) -> None:
        """Row by row from the top."""
        wide, top = self.width / _ACROSS, self.down * self.cell_high + 4
        for place, (number, rows) in enumerate(self.cells.items()):
            self._cell(
                number, rows, place % _ACROSS * wide, top - (place // _ACROSS + 1) * self.cell_high, wide
            )

    def _cell(self, number: int, rows: Sequence[SheetRow], x: float, y: float, wide: float) -> None:
        canvas, high = self.canv, self.cell_high
        canvas.setLineWidth(0.8)
        canvas.rect(x, y, wide, high)
        draw_line(canvas, x + 4, y + high - 14, str(number), Type(12, bold=True))
        top = y + high - 4
        for row in rows:
            top = self._row(row, x, y, wide, top)
        if not rows:
            canvas.setLineWidth(0.4)
            for number_of_line in (1, 2):
                base = y + high - 14 - number_of_line * min(18, (high - 18) / 2)
                canvas.line(x + 6, base, x + wide - 6, base)

    def _row(self, row: SheetRow, x: float, y: float, wide: float, top: float) -> float:
        lines = [(said(row.part) or "(part not told)", Type(9, bold=True), 2)]
        if row.player:
            lines.append((said(row.player), SMALL, 1))
        more = [
            f"take {said(row.take)}" if row.take else "",
            f"copy of {said(row.copied_from)}" if row.copied_from else "",
        ]
        if any(more):
            lines.append((", ".join(one for one in more if one), SMALL, 1))
        if row.notes:
            lines.append((said(row.notes), SMALL, 3))
        for words, set_in, most in lines:
            room = int((top - y - 1) / set_in.line)
            if room <= 0:
                return top
            text = Text(words, set_in, min(most, room))
            _, taken = text.wrap(wide - 27, top - y)
            text.drawOn(self.canv, x + 24, top - taken)
            top -= taken
        return top - 2
