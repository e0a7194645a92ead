"""The line-up sheet of one align: what to do in order, and a target and a blank for every tone and track."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.lineup.calibration import calibration_tape
from core.lineup.own_tones import own_part
from core.lineup.record import LineupRecord
from core.lineup.sheet import Choice, Line, LineupSheet, lineup_sheet
from core.paper.letters import said
from core.paper.look import Blank, Cell, Tick, section, table
from core.paper.page import Sheet, bind, column, origin
from core.paper.text import BODY, SMALL, STRONG, Text, Type
from core.paper.words import clock, day_and_year
from core.plan import Item, Plan
from core.quantities import read_quantity
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import Setup

_BLOCK = 8


def lineup_pdf(shelf: Shelf, plan: Plan, align: Item, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of one line-up's sheet alone."""
    return bind([lineup_page(shelf, plan, align, size)], origin(shelf, plan, made), size)


def lineup_page(
    shelf: Shelf, plan: Plan, align: Item, size: str = "A4", record: LineupRecord | None = None
) -> Sheet:
    """The sheet of an align, with the readings of ``record`` where one is given, else blank."""
    wide = column(size)
    lined, trouble = sheet_of(shelf, align)
    story: list[Flowable] = []
    if trouble:
        story.append(Text(f"! {trouble}", Type(9, bold=True, before=4, after=2)))
    story += _lines(lined.lines, lined.tracks, record, wide)
    for reel in _reels_after(shelf, plan, align):
        lines = own_part(reel)
        story += section(f"{said(reel.key)}: its own part", *_lines(lines, reel.tracks or 1, record, wide))
    story += [Blank("Remarks", height=22), Blank(height=20)]
    how = "full line-up" if align.full else "touch-up"
    how += f" with {said(lined.calibration)}" if lined.calibration else ""
    return Sheet(
        f"Line-up, {said(align.deck)} to {said(str(lined.setup))}",
        tuple(story),
        f"{day_and_year(align.start.date())}, {clock(align.start)} to {clock(align.end)}; {how}",
    )


def sheet_of(shelf: Shelf, align: Item) -> tuple[LineupSheet, str]:
    """The lines of a planned align, and a sentence where no targets can be given."""
    setup = setup_of(shelf, align)
    deck = shelf.studio.deck(align.deck)
    tracks = deck.tracks if deck is not None else 1
    reel = shelf.reels.get(align.calibration)
    plain: Choice = "by the reel's own tones"
    if reel is None:
        return lineup_sheet(align.deck, setup, tracks, None, choice=plain), ""
    try:
        return lineup_sheet(align.deck, setup, tracks, calibration_tape(reel)), ""
    except ValueError as error:
        return lineup_sheet(align.deck, setup, tracks, None, choice=plain), f"No targets: {said(str(error))}"


def setup_of(shelf: Shelf, align: Item) -> Setup:
    """The set-up that an align's words mean: that of a reel which says the same, else read from the words."""
    told = dict(align.setup)
    for reel in shelf.reels.values():
        if reel.setup.words() == told:
            return reel.setup
    try:
        speed = read_quantity(told.get("speed", ""), "speed")
        level = read_quantity(told["level"], "flux") if told.get("level") else None
    except ValueError:
        return Setup(None, told.get("eq", ""), None, told.get("noise_reduction", ""))
    return Setup(speed, told.get("eq", ""), level, told.get("noise_reduction", ""))


def _reels_after(shelf: Shelf, plan: Plan, align: Item) -> list[Reel]:
    """The reels that are played on the deck until it is lined up again."""
    later = [item for item in plan.items if item.deck == align.deck and item.start >= align.end]
    ends = min((item.start for item in later if item.kind == "align"), default=None)
    plays = [item for item in later if item.kind == "transfer" and (ends is None or item.start < ends)]
    keys = dict.fromkeys(item.reel for item in plays if (item.start - align.start).days < 1)
    return [shelf.reels[key] for key in keys if key in shelf.reels]


def _lines(lines: Sequence[Line], tracks: int, record: LineupRecord | None, wide: float) -> list[Flowable]:
    """Things to do with boxes to tick, and runs of tones as tables, in the order of the sheet."""
    story: list[Flowable] = []
    held: list[Line] = []
    todo: list[Sequence[Cell]] = []

    def put() -> None:
        if todo:
            story.append(table([], list(todo), [4, 70, 26], column=wide))
            todo.clear()
        if held:
            story.extend(_tones(list(held), tracks, record, wide))
            held.clear()

    for line in lines:
        if line.per_track != bool(held) and (held or todo):
            put()
        if line.per_track:
            held.append(line)
        else:
            todo.append([Tick(), Text(line.says, BODY), _single(line, record)])
    put()
    return story


def _single(line: Line, record: LineupRecord | None) -> Cell:
    if not line.unit:
        return ""
    read = record.reading(line.key, 0) if record is not None else None
    allowed = f"within {line.high:g}{line.unit}  " if line.judged and line.high is not None else ""
    return Blank(f"{allowed}read:" if read is None else f"{allowed}read {read:g}{line.unit}")


def _tones(lines: Sequence[Line], tracks: int, record: LineupRecord | None, wide: float) -> list[Flowable]:
    made: list[Flowable] = []
    for first in range(1, tracks + 1, _BLOCK):
        block = range(first, min(tracks, first + _BLOCK - 1) + 1)
        head: list[Cell] = ["tone", "target dB", "from", "to", *(Text(f"track {n}", SMALL) for n in block)]
        rows: list[list[Cell]] = [
            [*_target(line), *(_read(line, number, record) for number in block)] for line in lines
        ]
        blank = [7.6] * len(block)
        rest = 100 - sum(blank) - 22.5
        widths = [min(rest, 60), 8.5, 7, 7, *blank]
        made.append(
            table(
                head, rows, widths, column=wide * min(1.0, sum(widths) / 100), box=True, tall=17, type_=SMALL
            )
        )
        made.append(Text("", Type(5)))
    return [*made, *(Text(f"* {line.says}", SMALL, 3) for line in lines if _starred(line))]


def _starred(line: Line) -> bool:
    """True where a tone's words are too long for its cell and stand below the table."""
    return line.hz is not None and len(line.says) >= 60


def _target(line: Line) -> list[Cell]:
    name = f"{line.hz:g} Hz *" if _starred(line) else line.says
    if line.expected is None:
        return [Text(name, SMALL, 3), "", "", ""]
    bounds = [f"{one:+.1f}" if one is not None and line.judged else "" for one in (line.low, line.high)]
    target = Text(f"{line.expected:+.1f}", STRONG)
    return [Text(name, SMALL, 3), target, *(Text(one, SMALL) for one in bounds)]


def _read(line: Line, track: int, record: LineupRecord | None) -> Cell:
    read = record.reading(line.key, track) if record is not None else None
    return "" if read is None else f"{read:+.1f}"
