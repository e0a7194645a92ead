"""The work order of one evening: clock times, what to fetch, reels and chamber, boxes to tick, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import product

from reportlab.platypus import KeepTogether
from reportlab.platypus.flowables import Flowable

from core.clock import Span
from core.conditioning.alarms import alarms
from core.conditioning.lies_off import lies_off
from core.evening.around.closing import closing
from core.evening.around.closing_look import Closing
from core.evening.around.fetch import by_place, to_fetch
from core.evening.around.second_heat import second_heats, second_words
from core.evening.around.tight_end import wind_told, winds_behind
from core.evening.playing.left_lying import deck_lines
from core.evening.tonight.helper import days_helped, needs_helper
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.sheet import Step
from core.evening.warming.lapsing import lapsing_on
from core.logbook.noted import notes_in_history
from core.paper.evening.chamber_part import chamber_part
from core.paper.evening.empty_run import run_lines
from core.paper.evening.look_sheet import LINES, Lines, lines_told, looked_at
from core.paper.look.care import care
from core.paper.look.evenings import Evening
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, Ticks, section, stacked, table
from core.paper.look.look_lines import blanks_of
from core.paper.look.page import Sheet, bind, column, high, origin, pages_of, room_down
from core.paper.look.tell import details, facts, headline, warnings
from core.paper.look.text import CLOCK, DECK, DECK_STRONG, UNTIL, Text, Type
from core.paper.look.words import clock, day_and_year
from core.plan import Plan
from core.reels.winding import NOT_PLANNED
from core.shelf import Shelf
from core.tape.cautions import DEFERS
from core.words import day_text, listed

FEW = 1.9  # pages from which it is asked whether a closer setting spares one
CLOSER = (0, 1, 2)
MOST = 2  # pages of an evening, which what is only to be filled in does not go beyond


def work_order(
    shelf: Shelf, plan: Plan, evening: Evening, *, size: str = "A4", made: datetime, stale: str | None = None
) -> bytes:
    """The PDF of one evening's work order alone."""
    return bind([order_sheet(shelf, plan, evening, size)], origin(shelf, plan, made, stale), size)


def order_sheet(
    shelf: Shelf, plan: Plan, evening: Evening, size: str = "A4", *, lines: bool = False
) -> Sheet:
    """The work order as a sheet of the set, set closer where that spares a page.

    ``lines``: with those for what is seen of the reels that are looked at, closer where they would otherwise
    take a page beyond the second.
    """
    wide = column(size)
    look = closing(shelf, plan, _worked(shelf, plan, evening), evening.end, as_planned=True)

    winds = [said(wind_told(shelf, one)) for one in winds_behind(shelf, plan, evening.day, evening.steps)]
    offered = section("If there is time", Ticks(winds, DECK)) if winds else []

    def set_as(close: int, *, whole: bool = True, lines: Lines = "") -> list[Flowable]:
        return [
            *_story(shelf, plan, evening, wide, close=close, whole=whole, lines=lines),
            *offered,
            *_before_you_leave(look, wide),
        ]

    story, close, whole, pages = set_as(0), 0, True, MOST
    long = high(_apart(story), wide) > FEW * room_down(size)
    if long or evening.loads:
        closer = CLOSER if long else CLOSER[:1]
        tried = [pages_of(set_as(one), size) for one in closer]
        close, pages = closer[tried.index(min(tried))], min(tried)
        # a chamber's table is broken only where that spares a page, set as close as can be
        if evening.loads and (broken := pages_of(set_as(closer[-1], whole=False), size)) < pages:
            close, whole, pages = closer[-1], False, broken
        story = set_as(close, whole=whole)
    fewest = 0
    for how, one in product(LINES, range(close, len(CLOSER))) if lines and looked_at(shelf, evening) else ():
        took = pages_of(set_as(one, whole=whole, lines=how), size)
        if not fewest or took < fewest:
            story, fewest = set_as(one, whole=whole, lines=how), took
        if fewest <= max(MOST, pages):
            break
    return Sheet(f"Work order, {day_and_year(evening.day)}", tuple(story), _hours(shelf, evening))


def _apart(story: list[Flowable]) -> list[Flowable]:
    """The parts of what stands on a sheet, also of what is kept together."""
    return [part for one in story for part in getattr(one, "_content", [one])]


def _story(
    shelf: Shelf,
    plan: Plan,
    evening: Evening,
    wide: float,
    *,
    close: int = 0,
    whole: bool = True,
    lines: Lines = "",
) -> list[Flowable]:
    """What stands on it above the closing look; ``close``: how much closer than usual it is set.

    ``whole``: no chamber's table is broken over two pages.
    """
    story: list[Flowable] = [Text(f"NOW: {one.says}", Type(11, bold=True, after=4)) for one in alarms(shelf)]
    loud = [
        *(one.says(evening.start) for one in lies_off(shelf)),
        *deck_lines(shelf, evening.start, plan),
        *(one.words for one in lapsing_on(shelf, plan, evening.start)),
    ]
    loud += [*_second_heats(shelf, plan, evening), *(one.words for one in evening.empty)]
    story += [Text(f"! {said(one)}", Type(10, bold=True, before=3)) for one in loud]
    story += section("Fetch, along the shelf", _fetch(shelf, plan, evening, wide, close=close > 0))
    if done := _done(shelf, plan, evening):
        story.append(Text(f"Done already: {said(done)}", DECK, 3))
    if evening.steps or evening.crossed:
        story += section("Step by step", _steps(shelf, plan, evening, wide, lines, close=close > 0))
    for load in evening.loads:
        chamber = chamber_part(shelf, plan, evening, load, wide)
        story += [KeepTogether(chamber[1:])] if whole else chamber  # whole, it needs no break of its own
    blocks = list(_reel_blocks(shelf, plan, evening))
    if blocks:
        _, heading, *first = section("The reels", *blocks[0])
        story += [KeepTogether([heading, *first]), *(KeepTogether(one) for one in blocks[1:])]
    story += run_lines(shelf, plan, evening, wide, close=close > 0)
    story += lines_told(shelf, evening, wide, lines, close=close > 0)
    story += care(shelf, evening, close=close)
    story.append(Text(DEFERS, Type(8, bold=True, before=3)))
    story.append(figures_foot("work order"))
    return story


def _second_heats(shelf: Shelf, plan: Plan, evening: Evening) -> list[str]:
    """Tapes that go into one of the evening's loads for a second time."""
    loads = {(load.chamber, load.start) for load in evening.loads}
    heats = second_heats(shelf, plan, evening.start)
    told = second_words(one for one in heats if (one.load.chamber, one.load.start) in loads)
    return [told] if told else []


def _hours(shelf: Shelf, evening: Evening) -> str:
    needed = any(needs_helper(shelf, item) for item in evening.items("align"))
    needed = needed or evening.day in days_helped(shelf)
    parts = [f"bench {_spans(evening.bench)}" if evening.bench else "no bench time: chamber only"]
    parts += [evening.chamber_only] if evening.chamber_only else []
    if any(step.kind in ("align", "transfer", "audition") for step in evening.steps):
        parts.append("loud until " + (", ".join(f"{span.end:%H:%M}" for span in evening.loud) or "never"))
    if needed or (evening.helper and any(deck.setup_needs_helper for deck in shelf.studio.decks)):
        told = ", needed" if needed else ", not needed: tell them"
        parts.append(f"helper {_spans(evening.helper) or 'not there'}{told}")
    return "; ".join(parts)


def _spans(spans: tuple[Span, ...]) -> str:
    return " and ".join(f"{span.start:%H:%M} to {span.end:%H:%M}" for span in spans)


def _steps(shelf: Shelf, plan: Plan, evening: Evening, wide: float, lines: Lines, *, close: bool) -> Flowable:
    under = lines == "under each"
    rows = [
        _step_row(shelf, plan, evening, number, step, blanks=under)
        for number, step in enumerate(evening.steps, start=1)
    ]
    rows = [row for _, row in sorted(
        [*zip([step.planned.start for step in evening.steps], rows, strict=True),
         *((step.planned.start, _crossed_row(evening, step, why)) for step, why in evening.crossed)],
        key=lambda one: one[0])]  # fmt: skip
    head = ["", "from", "to", "", "what", "began", "ended"]
    return table(head, rows, [4, 8, 7.5, 3.5, 59, 9, 9], column=wide, type_=DECK, close=close)


def _crossed_row(evening: Evening, step: Step, why: str) -> list[Cell]:
    """A step that must not be done any more: crossed through, nothing to tick and nothing to fill in."""
    crossed = Type(10, struck=True)
    name = f"not any more: {step.kind} {step.subject}" if step.touch else f"not any more: {headline(step)}"
    what = stacked(Text(name, crossed, 2), Text(why, DECK_STRONG, 4))
    times = [clock(at, offset_of=evening.start) for at in (step.planned.start, step.planned.end)]
    return ["", *(Text(time, crossed) for time in times), "", what, "", ""]


def _step_row(
    shelf: Shelf, plan: Plan, evening: Evening, number: int, step: Step, *, blanks: bool
) -> list[Cell]:
    first = evening.start
    says = headline(step, evening.standing(step))
    more = details(shelf, step, plan, evening.empty)
    if step.kind == "identify":
        says, more = f"{says}: {more[0]}", more[1:]
    lines: list[Flowable] = [Text(says, DECK_STRONG, 4)]
    told = " · ".join(more)
    lines += [Text(told, DECK, 9)] if told else []
    if blanks and step.kind == "identify" and step.subject in shelf.reels:
        lines.append(blanks_of(shelf.reels[step.subject]))
    if step.key in evening.without:
        lines.append(Text(evening.without[step.key], DECK_STRONG, 4))
    start = clock(step.planned.start, offset_of=first)
    return [
        str(number),
        Text(start, CLOCK),
        Text(clock(step.planned.end, offset_of=first), UNTIL),
        Tick(),
        stacked(*lines),
        Blank(height=14),
        Blank(height=14),
    ]


def _fetch(shelf: Shelf, plan: Plan, evening: Evening, wide: float, *, close: bool) -> Flowable:
    places = by_place(to_fetch(shelf, plan, evening.steps, evening.start))
    rows: list[list[Cell]] = []
    for place, fetched in places.items():
        for number, one in enumerate(fetched):
            where = Text("" if number else place, DECK_STRONG, 2)
            aside = f" · {said(one.lies.aside)}" if one.lies.aside else ""
            box = f"{said(one.box)}{aside}"
            first = Text(clock(one.first, offset_of=evening.start), CLOCK)
            rows.append([Tick(), where, Text(one.reel, DECK_STRONG, 2), box, listed(one.uses), first])
    if not rows:
        return Text(_nothing_to_fetch(evening))
    return table(
        ["", "lies", "reel", "box says", "for", "from"],
        rows,
        [4, 20, 14, 31, 22, 9],
        column=wide,
        most=3,
        type_=DECK,
        close=close,
    )


def _nothing_to_fetch(evening: Evening) -> str:
    if evening.empty and not evening.steps:
        return "A second thermometer; no tape is touched."
    if not evening.steps:
        return "Nothing: nothing is left to do."
    warm = any(step.touch for step in evening.steps)
    return (
        f"Nothing: {'all that is touched tonight is in a chamber' if warm else 'no tape is touched tonight'}."
    )


def _before_you_leave(look: Closing, wide: float) -> list[Flowable]:
    """The closing look, a box to tick beside every line; then room for what was not done, and a name."""
    rows = [[Text(name, DECK_STRONG), Ticks(lines, DECK)] for name, lines in look.sections()]
    listing = [table([], rows, [15, 85], column=wide, type_=DECK, tight=True)] if rows else []
    blank = Blank("Worked by", height=20, then="Not done, and why", type_=DECK)
    _, *kept = section("Before you leave", *listing, blank)  # kept together it needs no break of its own
    return [KeepTogether(kept)]


def _worked(shelf: Shelf, plan: Plan, evening: Evening) -> list[Step]:
    """The evening's steps with what was done of it before this was printed: that is out and on, too."""
    planned = {one.key for one in evening.steps}
    there = run_sheet(shelf, plan, evening.start).steps
    done = [one for one in there if one.handled and one.key not in planned]
    return [*done, *evening.steps]


def _done(shelf: Shelf, plan: Plan, evening: Evening) -> str:
    """What is done of the evening and no row any more, each with its time where it was told this evening."""
    rows = {step.key for step in evening.steps}
    told = []
    for step in run_sheet(shelf, plan, evening.start).steps:
        if step.key in rows or step.key not in evening.done:
            continue
        at = evening.done[step.key]
        name = f"{step.kind} {step.subject}" if step.kind != "align" else f"line up {step.subject}"
        told += [f"{name} {clock(at, offset_of=evening.start)}" if at else name]
    return listed(told)


def _reel_blocks(shelf: Shelf, plan: Plan, evening: Evening) -> Iterator[list[Flowable]]:
    """What is said of each reel, to be kept together on a page; how to wind slowly at the first alone."""
    told, noted = False, notes_in_history(shelf)
    keys = dict.fromkeys(
        key for step in evening.steps if step.kind not in ("identify", "turn", "verify") for key in step.reels
    )
    for key in keys:
        reel = shelf.reels.get(key)
        if reel is None:
            continue
        named = f"{said(key)}  {said(reel.contents or reel.box_label)}"
        block: list[Flowable] = [
            Text(named, Type(10, bold=True, before=4), 2),
            Text(facts(shelf, reel), DECK, 3),
        ]
        notes = [reel.notes] if reel.notes else []
        notes += [f"{one.note} ({day_text(one.at.date())})" for one in noted.get(key, ())[-3:]]
        block += [Text(f"Note: {said(one)}", DECK, 4) for one in notes]
        plays = any(one.kind == "transfer" and one.subject == key for one in evening.steps)
        warned = warnings(shelf, plan, reel, plan.start, short=told, plays=plays)
        told = told or any(NOT_PLANNED in line for line in warned)
        yield [*block, *(Text(f"! {line}", DECK_STRONG) for line in warned)]
