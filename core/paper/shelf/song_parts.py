"""The parts page and the family page of a song: what is used for every recording, why, and how it came."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.paper.look.line_order import said
from core.paper.look.look import Cell, Tick, gap, section, table
from core.paper.look.page import Sheet, bind, column, origin, pages_of
from core.paper.look.text import BODY, SMALL, STRONG, Text
from core.shelf import Shelf
from core.songs.family import Kin
from core.songs.parts import Part, SongParts, place_words
from core.words import counted

Told = tuple[SongParts, tuple[Kin, ...]]


def song_pages(shelf: Shelf, songs: Sequence[Told], *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of each of these songs, parts first; its family below, where it is long on a page of its own.

    No family where no sheet tells of any.
    """
    sheets: list[Sheet] = []
    for parts, kin in songs:
        alone = parts_page(parts, size)
        both = _with_family(parts, kin, size)
        if not kin or pages_of(both.story, size) == pages_of(alone.story, size):
            sheets.append(_with_family(parts, kin, size))
        else:
            sheets += [parts_page(parts, size), family_page(parts, kin, size)]
    return bind(sheets, origin(shelf, None, made), size)


def parts_page(found: SongParts, size: str = "A4") -> Sheet:
    """Every recording with its tracks, a box to tick, and why; what is not used; what is open."""
    wide = column(size)
    head: list[Cell] = ["", "part", "take", "use", "copied", "stands at", "place", "why"]
    rows = [_row(part) for part in found.parts]
    zero = found.zero
    clock = f"; the clock is {said(zero.reel)}'s, zero at {zero.seconds:g} s" if zero else ""
    story: list[Flowable] = [
        Text(f"{found.to_hand} of {counted(len(found.parts), 'part')} to hand{clock}", STRONG),
        gap(4),
    ]
    if rows:
        widths = [3, 15, 6, 13, 7, 12, 14, 30]
        story.append(table(head, rows, widths, column=wide, type_=SMALL, most=12))
    left = [Text(said(line), SMALL, 6) for line in found.not_used_lines()]
    story += section("Not used", *left)
    story += section("Open", *(Text(said(line), SMALL, 8) for line in found.open))
    return Sheet(f"Parts: {said(found.title or found.song)}", tuple(story), said(found.song))


def _with_family(found: SongParts, kin: Sequence[Kin], size: str) -> Sheet:
    """The parts page with the family below."""
    page, tree = parts_page(found, size), family_page(found, kin, size).story if kin else ()
    return replace(page, story=(*page.story, *section("Family", *tree)))


def _row(part: Part) -> list[Cell]:
    copied = "" if part.copied is None else f"{part.copied}{'+' if part.at_least else ''}"
    return [
        Tick(8.5), said(part.name), said(part.take), Text(said(part.labels), STRONG, 3), copied, part.state,
        place_words(part.place) if part.use else "", said(part.why),
    ]  # fmt: skip


def family_page(found: SongParts, kin: Sequence[Kin], size: str = "A4") -> Sheet:
    """The tree of tapes on one page, from the first recordings down; what is used stands bold."""
    wide = column(size)
    story: list[Flowable] = [
        Text("From the first recordings down; what is used for the mix is bold.", SMALL),
        gap(6),
    ]
    story += [_Limb(one, wide) for one in kin]
    return Sheet(f"Family: {said(found.title or found.song)}", tuple(story), said(found.song))


class _Limb(Flowable):
    """One line of the tree, with the limb that it hangs on."""

    STEP = 20.0

    def __init__(self, kin: Kin, wide: float) -> None:
        super().__init__()
        self.kin, self.wide = kin, wide
        type_ = STRONG if kin.used else BODY
        self.text = Text(f"{said(kin.tracks)}   {said(kin.words)}", type_, 8)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Its size in points."""
        self.left = self.STEP * min(self.kin.depth, 8)
        _, self.high = self.text.wrap(width - self.left - 6, height)
        return width, self.high + 5

    def draw(self) -> None:
        """The limb, then the words."""
        if self.kin.depth:
            x, y = self.left - self.STEP + 6, self.high - 4
            self.canv.setLineWidth(0.7)
            self.canv.line(x, self.high + 5, x, y)
            self.canv.line(x, y, self.left - 3, y)
        self.text.drawOn(self.canv, self.left, 0)
