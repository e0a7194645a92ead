"""Reel cards and box labels to cut out, each with the reel's key as a QR code."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus.flowables import Flowable

from core.conditioning.advisor import advice_of
from core.evening.around.where_it_lies import place_told
from core.logbook.noted import noted_of
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.tell import facts, on_box, warnings
from core.paper.look.text import SMALL, Text, Type, draw_line
from core.paper.shelf.code import draw_code
from core.plan import Plan
from core.reels.photographs import photograph_names
from core.reels.reel import Reel
from core.shelf import Shelf
from core.words import counted, day_text

_LABEL = (86 * mm, 52 * mm)
_CARD = (88 * mm, 109 * mm)


def reel_cards(
    shelf: Shelf, plan: Plan | None, reels: Sequence[Reel], *, size: str = "A4", made: datetime
) -> bytes:
    """A card a reel, four a page: what it is, what to watch for, and room to write."""
    cards = [_Card(shelf, plan, reel, made) for reel in reels]
    aside = f"{counted(len(cards), 'reel')}; cut along the lines"
    foot = figures_foot("reel card")
    sheet = Sheet("Reel cards", (*_rows(cards, column(size)), foot), aside)
    return bind([sheet], origin(shelf, plan, made), size)


def box_labels(
    shelf: Shelf,
    reels: Sequence[Reel],
    *,
    size: str = "A4",
    made: datetime,
    was: Iterable[tuple[str, str]] = (),
) -> bytes:
    """A label a box, eight a page; ``was`` tells by key what a box said before its tape was another."""
    before = dict(was)
    labels = [_Label(shelf, reel, before.get(reel.key, ""), made) for reel in reels]
    aside = f"{counted(len(labels), 'box', 'boxes')}; cut along the lines"
    sheet = Sheet("Box labels", (*_rows(labels, column(size)), figures_foot("box label")), aside)
    return bind([sheet], origin(shelf, None, made), size)


def _rows(pieces: Sequence[_Piece], wide: float) -> Iterable[Flowable]:
    across = max(1, int(wide // pieces[0].wide)) if pieces else 1
    for at in range(0, len(pieces), across):
        yield _Row(pieces[at : at + across])
    if not pieces:
        yield Text("No reels were chosen.")


class _Row(Flowable):
    """Some pieces side by side."""

    def __init__(self, pieces: Sequence[_Piece]) -> None:
        super().__init__()
        self.pieces = pieces

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return width, max(piece.high for piece in self.pieces)

    def draw(self) -> None:
        for number, piece in enumerate(self.pieces):
            self.canv.saveState()
            self.canv.translate(number * piece.wide, 0)
            _cut_lines(self.canv, piece.wide, piece.high)
            piece.draw(self.canv)
            self.canv.restoreState()


def _cut_lines(canvas: Canvas, wide: float, high: float) -> None:
    """Dashes round a piece, each edge drawn the same way so that those of neighbours fall on one another."""
    canvas.setLineWidth(0.5)
    canvas.setDash(3, 2)
    for at in (0, high):
        canvas.line(0, at, wide, at)
    for at in (0, wide):
        canvas.line(at, 0, at, high)
    canvas.setDash()


class _Piece:
    """Something to cut out; ``wide`` and ``high`` in points."""

    wide, high = _LABEL

    def __init__(self, shelf: Shelf, reel: Reel) -> None:
        self.shelf, self.reel = shelf, reel

    def draw(self, canvas: Canvas) -> None:
        """Draws it with its lower left corner at 0, 0."""
        raise NotImplementedError

    def down(
        self, canvas: Canvas, parts: Sequence[Text], left: float, top: float, width: float, floor: float
    ) -> float:
        """Texts from ``top`` down, as far as they fit above ``floor``; what is left out is told by dots."""
        for part in parts:
            text = part
            _, high = text.wrap(width, top - floor)
            if high > top - floor:
                fits = int((top - floor) / part.type.line)
                if not fits:
                    break
                text = Text(part.text, part.type, fits)
                _, high = text.wrap(width, top - floor)
            text.drawOn(canvas, left, top - high)
            top -= high + text.getSpaceAfter()
        return top


class _Label(_Piece):
    """The label of a box: key and code, what it is, whether it may be warmed or played, where it stands."""

    def __init__(self, shelf: Shelf, reel: Reel, was: str, made: datetime) -> None:
        super().__init__(shelf, reel)
        self.was, self.made = was, made

    def _lines(self) -> list[Text]:
        loud = [*on_box(self.shelf, self.reel, self.made), *self._warm_first()]
        lines = [Text(f"! {line}", Type(8, bold=True), 4) for line in loud]  # first: they are never cut off
        if self.was:
            lines.append(Text(f"box said before: {said(self.was)}", SMALL, 2))
        lines.append(Text(facts(self.shelf, self.reel), SMALL, 3))
        if self.reel.notes:
            lines.append(Text(said(self.reel.notes), SMALL, 3))
        return lines

    def draw(self, canvas: Canvas) -> None:
        side = 23 * mm
        draw_code(canvas, self.reel.key, self.wide - side - 4, self.high - side - 4, side)
        room = self.wide - side - 18
        draw_line(canvas, 8, self.high - 22, self.reel.key, Type(18, bold=True), room)
        what = self.reel.contents or self.reel.box_label or "contents not known"
        head = [Text(said(what), Type(9.5, bold=True), 3)]
        end = self.down(canvas, head, 8, self.high - 30, room, self.high - side - 6)
        self.down(canvas, self._lines(), 8, min(end, self.high - side - 8), self.wide - 16, 20)
        place = said(place_told(self.shelf, self.reel.location)) or "place:"
        draw_line(canvas, 8, 8, place, Type(9, bold=True), self.wide * 0.6)
        draw_line(canvas, self.wide - 8, 8, self.shelf.studio.name, Type(8, align="right"), self.wide * 0.32)

    def _warm_first(self) -> Iterable[str]:
        told = advice_of(self.shelf, self.reel, self.made)
        if told.word == "warm" and not told.barred_by and not self.reel.past("transferred"):
            yield "sticky: warm it before it is played"


class _Card(_Piece):
    """The card of a reel: all that is known, its treatments and songs, and lines to write on."""

    wide, high = _CARD

    def __init__(self, shelf: Shelf, plan: Plan | None, reel: Reel, made: datetime) -> None:
        super().__init__(shelf, reel)
        self.at = plan.start if plan is not None else made

    def draw(self, canvas: Canvas) -> None:
        side = 27 * mm
        reel = self.reel
        draw_code(canvas, reel.key, self.wide - side - 4, self.high - side - 4, side)
        room = self.wide - side - 18
        draw_line(canvas, 8, self.high - 24, reel.key, Type(20, bold=True), room)
        what = said(reel.contents or reel.box_label or "contents not known")
        head = [Text(what, Type(10, bold=True, after=2), 4)]
        end = self.down(canvas, head, 8, self.high - 33, room, self.high - side - 6)
        loud = warnings(self.shelf, None, reel, self.at)  # a card outlives the plan, and its dates
        lines = [Text(f"! {line}", Type(8, bold=True), 5) for line in loud]  # first: they are never cut off
        lines += [Text(line, SMALL, 3) for line in self._lines()]
        floor = 96.0
        end = self.down(canvas, lines, 8, min(end, self.high - side - 8), self.wide - 16, floor)
        labels = ["warmed", "lined up", "transferred", "verified", ""]
        for number, label in enumerate(labels):
            base = 74 - number * 16.0
            draw_line(canvas, 8, base, label)
            canvas.setLineWidth(0.5)
            canvas.line(62 if label else 8, base - 1.5, self.wide - 8, base - 1.5)

    def _lines(self) -> Iterable[str]:
        reel, shelf = self.reel, self.shelf
        yield f"box says: {said(reel.box_label) or '(nothing)'}"
        yield facts(shelf, reel)
        yield f"stage {reel.stage}; condition {', '.join(reel.condition) or 'not inspected'}"
        yield f"place: {said(place_told(shelf, reel.location)) or 'not written down'}"
        songs = [song for song in shelf.songs.values() if any(need.reel == reel.key for need in song.needs)]
        if songs:
            yield "songs: " + ", ".join(f"{said(song.key)} {said(song.title)}".strip() for song in songs)
        if reel.tones:
            yield f"tones: {said(reel.tones)}"
        if reel.notes:
            yield f"note: {said(reel.notes)}"
        for one in noted_of(shelf, reel.key)[-3:]:
            yield f"note of {day_text(one.at.date())}: {said(one.note)}"
        if reel.photographs:
            yield f"photographs: {said(', '.join(photograph_names(reel)))}"
