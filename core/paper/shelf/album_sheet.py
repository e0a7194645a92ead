"""The album on one page: order and lengths, sides to scale, what fits, and what is missing by whom.

What of the missing has no room there stands on a page of its own behind it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from fractions import Fraction

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Table
from reportlab.platypus.flowables import Flowable

from core.clock import minutes_text
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Cell, Ticks, gap, section, table
from core.paper.look.page import Sheet, bind, column, origin, room_down
from core.paper.look.text import SMALL, STRONG, TINY, Text, Type, draw_line
from core.release.album import Album
from core.release.album_song import AlbumSong
from core.release.waits import Missing, grouped
from core.shelf import Shelf

_SMALLER, _SMALLEST = Type(6.2), Type(5.2)
_LANE = 24.0
_A_ROW = 24  # sentences to a row: a row is never parted, and must fit on a page
_LABEL = 34.0
_HEAD: list[Cell] = ["", "song", "length", "from", "stands at", "there by", "next"]


def album_sheets(page: Album, size: str = "A4") -> tuple[Sheet, ...]:
    """One page whatever the album holds, in smaller letters for much of it; what is missing may go on."""
    wide, room = column(size), room_down(size) - 2
    every = len(page.missing)
    tries = [(type_, every) for type_ in (SMALL, TINY, _SMALLER, _SMALLEST)]
    tries += [(_SMALLEST, most) for most in (60, 40, 30, 20, 12, 6, 2) if most < every]
    for type_, most in tries:
        story = _story(page, most, type_, wide)
        if _high(story, wide) <= room:
            break
    first = Sheet(f"Album: {said(page.name)}", tuple(story), _aside(page))
    if most >= every:
        return (first,)
    rest = [_lacks(page.missing[most:], SMALL, wide, most=9)]
    return first, Sheet(f"Still missing: {said(page.name)}", tuple(rest), f"{every - most} of {every}")


def _aside(page: Album) -> str:
    fit = page.fit()
    without = f" without {', '.join(map(said, page.without))}" if page.without else ""
    length = minutes_text(page.seconds)
    artists = ", ".join(dict.fromkeys(said(one.song.artist) for one in page.songs if one.song.artist.strip()))
    length = f"{artists}; {length}" if artists else length
    return f"{length}{without}; {fit.carrier.name}: {fit.verdict}"


def _story(page: Album, most: int, type_: Type, wide: float) -> list[Flowable]:
    rows = [_row(place, one, type_) for place, one in enumerate(page.songs, 1)]
    most_lines = 3 if type_.size >= TINY.size else 2 if type_ == _SMALLER else 1
    songs = table(_HEAD, rows, [3, 21, 7, 8, 12, 19, 30], column=wide, type_=type_, most=most_lines)
    story: list[Flowable] = [
        Text(said(page.fullness), STRONG),
        gap(4),
        Sides(page, wide),
        gap(4),
        _tight(songs, type_),
    ]
    fits: list[list[Cell]] = [
        [one.carrier.name, " / ".join(minutes_text(side) for side in one.side_seconds), one.verdict,
         "" if free.sides == one.sides else
         f"split freely {' / '.join(minutes_text(side) for side in free.side_seconds)}: {free.verdict}"]
        for one, free in zip(page.fits, page.free, strict=True)
    ]  # fmt: skip
    head: list[Cell] = ["carrier", "sides", "in this order", "in another"]
    told = table(head, fits, [16, 13, 33, 38], column=wide, type_=min(TINY, type_, key=_size), most=3)
    story += section("Does it fit?", _tight(told, TINY), room=0)
    story += _missing(page, most, type_, wide)
    story.append(figures_foot("album sheet"))
    return story


def _missing(page: Album, most: int, type_: Type, wide: float) -> Iterator[Flowable]:
    """What is missing, by what it waits for; each with a box to tick."""
    if not page.missing:
        yield Text("Nothing is missing.", STRONG)
        return
    lacks = _tight(_lacks(page.missing[:most], type_, wide), TINY)
    yield from section("What is missing, and what it waits for", lacks, room=0)
    if len(page.missing) > most:
        yield Text(f"and {len(page.missing) - most} more, on the next page", Type(type_.size, bold=True))


def _lacks(missing: Sequence[Missing], type_: Type, wide: float, most: int = 6) -> Table:
    """A row for each that is waited for; boxes to tick beside what is missing."""
    rows: list[list[Cell]] = []
    for who, some in grouped(missing).items():
        told = [said(one) for one in _alike_together(some)]
        for first in range(0, len(told), _A_ROW):
            name = said(who) if not first else ""
            rows.append([Text(name, Type(type_.size, bold=True)), Ticks(told[first : first + _A_ROW], type_)])
    return table([], rows, [14, 86], column=wide, type_=type_, most=most)


def _alike_together(some: Sequence[Missing]) -> Iterator[str]:
    """Sentences, those that say the same of several songs as one."""
    by: dict[str, list[Missing]] = {}
    for number, one in enumerate(some):
        by.setdefault(one.says if one.song else str(number), []).append(one)
    for alike in by.values():
        songs = ", ".join(one.song if len(alike) > 3 else f"{one.song} {one.title}".strip() for one in alike)
        yield f"{songs}: {alike[0].says}" if len(alike) > 1 else alike[0].sentence


def _size(type_: Type) -> float:
    return type_.size


def _tight(rows: Table, type_: Type) -> Table:
    """Small letters stand closer, so that many songs are on one page."""
    if type_ != SMALL:
        rows.setStyle([("TOPPADDING", (0, 0), (-1, -1), 1.2), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2)])
    return rows


def _row(place: int, one: AlbumSong, type_: Type) -> list[Cell]:
    length = minutes_text(one.seconds) if one.seconds is not None else "?"
    source = "" if one.length_from == "nothing" else one.length_from
    return [
        str(place), Text(said(one.name), Type(type_.size, bold=True), 2), length, source, one.state,
        one.there_by, said(one.next),
    ]  # fmt: skip


def _high(story: Sequence[Flowable], wide: float) -> float:
    return sum(
        one.wrap(wide, 10_000)[1] + one.getSpaceBefore() + one.getSpaceAfter()
        for one in story if not isinstance(one, CondPageBreak)
    )  # fmt: skip


class Sides(Flowable):
    """A bar for each side, to scale, with its songs; a heavy line where it is full, a thin one at most."""

    def __init__(self, page: Album, wide: float) -> None:
        super().__init__()
        self.page, self.wide = page, wide
        self.fit, self.sides = page.fit(), page.sides()

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        return self.wide, _LANE * len(self.sides) + 12

    def draw(self) -> None:
        """Sides from the top down."""
        carrier = self.fit.carrier
        longest = max([Fraction(carrier.most_seconds), *self.fit.side_seconds])
        scale = (self.wide - _LABEL - 60) / float(longest)
        place = 0
        for number, side in enumerate(self.sides):
            base = _LANE * (len(self.sides) - 1 - number) + 12
            name = f"side {'AB'[number]}" if carrier.sides > 1 else "disc"
            draw_line(self.canv, 0, base + 5, name, Type(8, bold=True))
            x = _LABEL
            for one in side:
                place += 1
                x = self._song(x, base, place, one, scale)
            self._limits(base, scale)
            length = self.fit.side_seconds[number] if number < len(self.fit.side_seconds) else Fraction(0)
            draw_line(self.canv, self.wide, base + 5, minutes_text(length), Type(9, bold=True, align="right"))
        safe, most = minutes_text(carrier.safe_seconds), minutes_text(carrier.most_seconds)
        words = f"thick line: {safe} is safe; thin: {most} at most; grey: the one mix, dashed: not yet"
        draw_line(self.canv, _LABEL, 1, words, TINY)

    def _song(self, x: float, base: float, place: int, one: AlbumSong, scale: float) -> float:
        if one.seconds is None:
            return x
        canvas: Canvas = self.canv
        wide = float(one.seconds) * scale
        canvas.setLineWidth(0.8)
        canvas.setFillGray(0.86 if one.length_from == "the one" else 1)
        if one.length_from != "the one":
            canvas.setDash(2, 2)
        canvas.rect(x, base, wide, _LANE - 8, stroke=1, fill=1)
        canvas.setDash()
        canvas.setFillGray(0)
        draw_line(canvas, x + 2, base + 5, f"{place} {said(one.name)}", TINY, max(6.0, wide - 3))
        return x + wide + float(self.page.gap) * scale

    def _limits(self, base: float, scale: float) -> None:
        carrier = self.fit.carrier
        for seconds, width in ((carrier.safe_seconds, 1.8), (carrier.most_seconds, 0.6)):
            x = _LABEL + seconds * scale
            self.canv.setLineWidth(width)
            self.canv.line(x, base - 3, x, base + _LANE - 5)


def album_pages(shelf: Shelf, pages: Sequence[Album], *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of the sheet and the credits of each of these albums."""
    from core.paper.shelf.credits_sheet import credits_sheet

    sheets = [one for page in pages for one in (*album_sheets(page, size), credits_sheet(page, size))]
    return bind(sheets, origin(shelf, None, made), size)
