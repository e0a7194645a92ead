"""The line-up sheet of one align: what to do in order, and a target and a blank for every tone and track."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from itertools import groupby

from reportlab.platypus import KeepTogether
from reportlab.platypus.flowables import Flowable

from core.conditioning.advisor import advice_of
from core.conditioning.tell import test_words
from core.evening.around.other_width import read_by
from core.evening.around.unset import line_up_notes
from core.evening.tonight.line_ups import by_whose_tones, made_with
from core.lineup.calibration import calibration_tape
from core.lineup.line import Line
from core.lineup.on_shelf import setup_of_words, without_targets
from core.lineup.own_tones import own_part
from core.lineup.sheet import LineupSheet, choice_of, lineup_sheet
from core.paper.look.foot import figures_foot
from core.paper.look.hand_test import hand_test
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.text import DECK, DECK_STRONG, Text, Type
from core.paper.look.words import clock, day_and_year
from core.plan import Item, Plan
from core.reels.reel import Reel
from core.shelf import Shelf
from core.studio.setup import lined_up_told
from core.tape.physics.equalisation import find_equalisation
from core.tape.tables import table as table_of
from core.words import listed

_BLOCK = 8
_HEAD = Type(10)
_LOUD = Type(10, bold=True, before=4, after=2)
"""So small that ``track 24`` stands on one line over its column."""


def lineup_pdf(shelf: Shelf, plan: Plan, align: Item, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of one line-up's sheet alone."""
    return bind([lineup_page(shelf, plan, align, size)], origin(shelf, plan, made), size)


def lineup_page(shelf: Shelf, plan: Plan, align: Item, size: str = "A4") -> Sheet:
    """The sheet of an align, its readings blank."""
    wide = column(size)
    plays = _reels_after(shelf, plan, align)
    whose, _ = by_whose_tones(shelf, plan, align)
    by = align.by if whose or align.by != "tones" else "as it stands"
    lined, trouble = sheet_of(shelf, replace(align, by=by), plays)
    story: list[Flowable] = []
    if trouble:
        story.append(Text(f"! {trouble}", _LOUD))
    for note in line_up_notes(shelf, plan).get(id(align), ()):
        story.append(Text(f"! {said(note)}", _LOUD))
    tape = shelf.reels.get(align.calibration)
    test = test_words(advice_of(shelf, tape, align.start)) if tape is not None else ""
    if tape is not None and test:
        story.append(Text(f"! {said(tape.key)}: {test}", _LOUD))
    story += hand_test(shelf, tape, align.start)
    story += to_fill_in(lined.lines, lined.tracks, wide)
    for reel in plays:
        lines = own_part(reel)
        part = section(f"{said(reel.key)}: its own part", *to_fill_in(lines, reel.tracks or 1, wide))
        story += [KeepTogether(part)] if part else []
    foot = figures_foot("line-up sheet", rows_of(lined))
    story.append(KeepTogether([Blank("Remarks", height=16, type_=DECK), foot]))
    how = "full line-up" if align.full else "touch-up"
    how += f", {said(made_with(shelf, plan, align))}"
    return Sheet(
        f"Line-up, {said(align.deck)} to {said(lined_up_told(lined.setup.words()))}",
        tuple(story),
        f"{day_and_year(align.start.date())}, {clock(align.start)} to {clock(align.end)}; {how}",
    )


def sheet_of(shelf: Shelf, align: Item, plays: Sequence[Reel] = ()) -> tuple[LineupSheet, str]:
    """The lines of a planned align, and a sentence where no targets can be given.

    It has the tracks of the reel with most of them of those that are played on it, as on the screen.
    """
    setup = setup_of_words(shelf, dict(align.setup))
    deck = shelf.studio.deck(align.deck)
    most = max((reel.tracks or 1 for reel in plays), default=deck.tracks if deck is not None else 1)
    read = read_by(shelf, align, list(plays))
    tracks = read.tracks if read else min(most, deck.tracks) if deck is not None else most
    reaches = replace(read, unset="") if read else None  # said above the lines
    reel = shelf.reels.get(align.calibration)
    plain = choice_of("", align.by)
    if reel is None:
        return lineup_sheet(align.deck, setup, tracks, None, choice=plain), ""
    try:
        return lineup_sheet(align.deck, setup, tracks, calibration_tape(reel), reaches=reaches), ""
    except ValueError as error:
        choice, why = without_targets(shelf, setup, reel.key, str(error))
        return lineup_sheet(align.deck, setup, tracks, None, choice=choice), said(why)


def _reels_after(shelf: Shelf, plan: Plan, align: Item) -> list[Reel]:
    """The reels that are played on the deck until it is lined up again."""
    later = [item for item in plan.items if item.deck == align.deck and item.start >= align.end]
    ends = min((item.start for item in later if item.kind == "align"), default=None)
    plays = [item for item in later if item.kind == "transfer" and (ends is None or item.start < ends)]
    keys = dict.fromkeys(item.reel for item in plays if (item.start - align.start).days < 1)
    return [shelf.reels[key] for key in keys if key in shelf.reels]


def rows_of(sheet: LineupSheet) -> tuple[str, ...]:
    """The rows of the tables that this one set-up rests on: its equalisation, its reference level."""
    setup, found = sheet.setup, []
    eq = find_equalisation(setup.eq, setup.speed.number) if setup.speed is not None and setup.eq else None
    if eq is not None:
        found.append(f"equalisations.{eq.key}")
    if setup.level is not None:
        level = float(setup.level.number)
        found += [
            f"fluxivities.{key}"
            for key, row in table_of("fluxivities").items()
            if row.values["nwb_m"] == level
        ][:1]
    return tuple(found)


def to_fill_in(lines: Sequence[Line], tracks: int, wide: float) -> list[Flowable]:
    """Things to do with boxes to tick, and runs of tones as tables, in the order of the sheet."""
    story: list[Flowable] = []
    for kind, run in groupby(lines, _how_it_is_filled_in):
        if kind == "per track":
            story += tone_tables(list(run), tracks, wide, lambda line, track: "")
        elif kind == "one reading":
            rows: list[Sequence[Cell]] = [
                [Tick(), Text(line.says, DECK), Blank(f"{within(line)}read:", type_=DECK)] for line in run
            ]
            story.append(table([], rows, [4, 70, 26], column=wide))
        else:
            ticks: list[Sequence[Cell]] = [[Tick(), Text(line.says, DECK)] for line in run]
            story.append(table([], ticks, [4, 96], column=wide))
    return story


def _how_it_is_filled_in(line: Line) -> str:
    return "per track" if line.per_track else "one reading" if line.unit else "a tick"


def within(line: Line) -> str:
    """How far off a line may be that has one reading for the whole head."""
    return f"within {line.high:g}{line.unit}  " if line.judged and line.high is not None else ""


def tone_tables(
    lines: Sequence[Line], tracks: int, wide: float, read: Callable[[Line, int], Cell]
) -> list[Flowable]:
    """Tones against tracks, a few tracks side by side; ``read`` tells what stands in each cell."""
    made: list[Flowable] = []
    for first in range(1, tracks + 1, _BLOCK):
        block = range(first, min(tracks, first + _BLOCK - 1) + 1)
        head: list[Cell] = ["tone", "target dB", "from", "to", *(_track_head(n, first) for n in block)]
        rows: list[list[Cell]] = [
            [*_target(line), *(read(line, number) for number in block)] for line in lines
        ]
        blank = [7.6] * len(block)
        rest = 100 - sum(blank) - 25
        widths = [min(rest, 60), 11, 7, 7, *blank]
        made.append(
            table(
                head, rows, widths, column=wide * min(1.0, sum(widths) / 100), box=True, tall=17, type_=DECK
            )
        )
        made.append(Text("", Type(3)))
    return [*made, *(Text(f"* {says}", DECK, 3) for says in _below([one for one in lines if _starred(one)]))]


def _track_head(number: int, first: int) -> Text:
    """A column's track; the word stands over the first of a block, so that each head keeps to one line."""
    word = "track " if first < 10 else "tr. "
    return Text(f"{word if number == first else ''}{number}", _HEAD)


def _below(starred: Sequence[Line]) -> list[str]:
    """What is said of the starred tones, once of those of which the same is said: ``100 Hz, 50 Hz: ...``."""
    told: dict[str, list[str]] = {}
    for line in starred:
        name = f"{line.hz:g} Hz"
        rest = line.says.partition(": ")[2] or line.says.replace(
            f"Its own {name} reads", "of its own they read"
        )
        told.setdefault(rest, []).append(name)
    return [f"{listed(names)}: {rest}" for rest, names in told.items()]


def _starred(line: Line) -> bool:
    """True where a tone's words are too long for its cell and stand below the table."""
    return line.hz is not None and len(line.says) >= 60


def _target(line: Line) -> list[Cell]:
    name = f"{line.hz:g} Hz *" if _starred(line) else line.says
    if line.expected is None:
        return [Text(name, DECK, 3), "", "", ""]
    bounds = [f"{one:+.1f}" if one is not None and line.judged else "" for one in (line.low, line.high)]
    target = Text(f"{line.expected:+.1f}", DECK_STRONG)
    return [Text(name, DECK, 3), target, *(Text(one, DECK) for one in bounds)]
