"""A track sheet as a grid on paper: a line a track, a column a song."""

from __future__ import annotations

from collections.abc import Sequence

from reportlab.platypus.flowables import Flowable

from core.paper.look.line_order import said
from core.paper.look.text import DECK, DECK_STRONG, SMALL, Text, Type, draw_line
from core.paper.look.words import whole_seconds
from core.reels.reel import Reel
from core.shelf import Shelf
from core.songs.song import SheetRow

_ACROSS = 4
_BLANK_TRACKS = 16
#: How a track's part and what else is told of it are set: to be read at the deck, else as fits its cell.
_SIZES = ((DECK_STRONG, DECK), (Type(9, bold=True), SMALL))


def span_told(shelf: Shelf, key: str, reel: Reel) -> str:
    """Where the song lies on that reel, as far as it is known."""
    song = shelf.songs.get(key)
    spans = [need for need in song.needs if need.reel == reel.key and need.start is not None] if song else []
    return ", ".join(f"{whole_seconds(n.start or 0)} to {whole_seconds(n.end or 0)}" for n in spans)


def tracks_drawn(reel: Reel | None, rows: Sequence[SheetRow]) -> int:
    """How many cells the grid has: the reel's tracks, and any beyond them that a row tells of."""
    told = max((row.track or 0 for row in rows), default=0)
    return min(48, max(told, (reel.tracks or 0) if reel is not None else 0) or _BLANK_TRACKS)


def row_told(row: SheetRow) -> str:
    """Part, player, take and notes of a row, as far as they are written."""
    parts = (row.part, row.player, f"take {row.take}" if row.take else "", row.notes)
    return ", ".join(said(part) for part in parts if part)


class Grid(Flowable):
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
        told = next((one for one in _SIZES if self._high(rows, one, wide) <= high - 6), _SIZES[-1])
        for row in rows:
            top = self._row(row, x, y, wide, top, told)
        if not rows:
            canvas.setLineWidth(0.4)
            for number_of_line in (1, 2):
                base = y + high - 14 - number_of_line * min(18, (high - 18) / 2)
                canvas.line(x + 6, base, x + wide - 6, base)

    def _high(self, rows: Sequence[SheetRow], sizes: tuple[Type, Type], wide: float) -> float:
        """Points that these rows take, set so."""
        told = (line for row in rows for line in _lines(row, sizes))
        return sum(Text(words, set_in, most).wrap(wide - 27, 10_000)[1] for words, set_in, most in told)

    def _row(
        self, row: SheetRow, x: float, y: float, wide: float, top: float, sizes: tuple[Type, Type]
    ) -> float:
        for words, set_in, most in _lines(row, sizes):
            room = int((top - y - 1) / set_in.line)
            if room <= 0:
                return top
            text = Text(words, set_in, min(most, room))
            _, taken = text.wrap(wide - 27, top - y)
            text.drawOn(self.canv, x + 24, top - taken)
            top -= taken
        return top - 2


def _lines(row: SheetRow, sizes: tuple[Type, Type]) -> list[tuple[str, Type, int]]:
    """What a row tells of its track: the words, how they are set, and on how many lines at most."""
    name, rest = sizes
    more = [
        f"take {said(row.take)}" if row.take else "",
        f"copy of {said(row.copied_from)}" if row.copied_from else "",
    ]
    return [
        (said(row.part) or "(part not told)", name, 4),
        *([(said(row.player), rest, 2)] if row.player else []),
        *([(", ".join(one for one in more if one), rest, 3)] if any(more) else []),
        *([(said(row.notes), rest, 6)] if row.notes else []),
    ]
