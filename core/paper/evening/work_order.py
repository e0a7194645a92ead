"""The work order of one evening: clock times, what to fetch, reels and chamber, boxes to tick, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from reportlab.platypus import KeepTogether
from reportlab.platypus.flowables import Flowable

from core.clock import Span
from core.conditioning.alarms import alarms
from core.conditioning.base_look import look_lines, looks_asked
from core.conditioning.beyond_published import about_load
from core.conditioning.lies_off import lies_off
from core.conditioning.loads.kept_loads import real_start
from core.conditioning.loads.places import Place, Standing
from core.evening.around.closing import closing
from core.evening.around.closing_look import Closing
from core.evening.around.fetch import by_place, to_fetch
from core.evening.around.second_heat import second_heats, second_words
from core.evening.around.tight_end import wind_told, winds_behind
from core.evening.playing.left_lying import deck_lines, on_two_reels
from core.evening.playing.lying import ONTO_ONE
from core.evening.tonight.helper import needs_helper
from core.evening.tonight.runsheet import run_sheet
from core.evening.tonight.sheet import Step
from core.evening.warming.lapsing import lapsing_on
from core.evening.warming.let_in import let_in
from core.logbook.noted import notes_in_history
from core.paper.evening.empty_run import before_load, run_lines
from core.paper.look.care import care
from core.paper.look.evenings import Evening
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, Ticks, gap, section, stacked, table
from core.paper.look.page import Sheet, bind, column, high, origin, pages_of, room_down
from core.paper.look.tell import details, facts, headline, warnings
from core.paper.look.text import CLOCK, DECK, DECK_STRONG, UNTIL, Text, Type
from core.paper.look.words import clock, day_and_year, short_moment, warmth
from core.plan import Item, Plan
from core.reels.winding import NOT_PLANNED
from core.shelf import Shelf
from core.tape.cautions import DEFERS
from core.words import day_text, listed

FEW = 1.9  # pages from which it is asked whether a closer setting spares one
CLOSER = (0, 1, 2)


def work_order(
    shelf: Shelf, plan: Plan, evening: Evening, *, size: str = "A4", made: datetime, stale: str | None = None
) -> bytes:
    """The PDF of one evening's work order alone."""
    return bind([order_sheet(shelf, plan, evening, size)], origin(shelf, plan, made, stale), size)


def order_sheet(shelf: Shelf, plan: Plan, evening: Evening, size: str = "A4") -> Sheet:
    """The work order as a sheet of the set, set closer where that spares a page."""
    wide = column(size)
    look = closing(shelf, plan, _worked(shelf, plan, evening), evening.end, as_planned=True)

    winds = [said(wind_told(shelf, one)) for one in winds_behind(shelf, plan, evening.day, evening.steps)]
    offered = section("If there is time", Ticks(winds, DECK)) if winds else []

    def set_as(close: int, *, whole: bool = True) -> list[Flowable]:
        return [
            *_story(shelf, plan, evening, wide, close=close, whole=whole),
            *offered,
            *_before_you_leave(look, wide),
        ]

    story = set_as(0)
    long = high(_apart(story), wide) > FEW * room_down(size)
    if long or evening.loads:
        closer = CLOSER if long else CLOSER[:1]
        took = [pages_of(set_as(one), size) for one in closer]
        close = closer[took.index(min(took))]
        last = closer[-1]  # a chamber's table is broken only where that spares a page
        broken = bool(evening.loads) and pages_of(set_as(last, whole=False), size) < min(took)
        story = set_as(last, whole=False) if broken else set_as(close)
    return Sheet(f"Work order, {day_and_year(evening.day)}", tuple(story), _hours(shelf, evening))


def _apart(story: list[Flowable]) -> list[Flowable]:
    """The parts of what stands on a sheet, also of what is kept together."""
    return [part for one in story for part in getattr(one, "_content", [one])]


def _story(
    shelf: Shelf, plan: Plan, evening: Evening, wide: float, *, close: int = 0, whole: bool = True
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
    if evening.steps or evening.crossed:
        story += section("Step by step", _steps(shelf, plan, evening, wide, close=close > 0))
    for load in evening.loads:
        chamber = _chamber(shelf, plan, evening, load, wide)
        story += [KeepTogether(chamber[1:])] if whole else chamber  # whole, it needs no break of its own
    blocks = list(_reel_blocks(shelf, plan, evening))
    if blocks:
        _, heading, *first = section("The reels", *blocks[0])
        story += [KeepTogether([heading, *first]), *(KeepTogether(one) for one in blocks[1:])]
    story += run_lines(shelf, plan, evening, wide, close=close > 0)
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


def _steps(shelf: Shelf, plan: Plan, evening: Evening, wide: float, *, close: bool) -> Flowable:
    rows = [
        _step_row(shelf, plan, evening, number, step) for number, step in enumerate(evening.steps, start=1)
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


def _step_row(shelf: Shelf, plan: Plan, evening: Evening, number: int, step: Step) -> list[Cell]:
    first = evening.start
    says, more = headline(step, evening.standing(step)), details(shelf, step, plan)
    if step.kind == "identify":
        says, more = f"{says}: {more[0]}", more[1:]
    lines: list[Flowable] = [Text(says, DECK_STRONG, 4)]
    told = " · ".join(more)
    lines += [Text(told, DECK, 9)] if told else []
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
        left = "all that is touched tonight is in a chamber" if evening.steps else "nothing is left to do"
        if evening.empty and not evening.steps:
            return Text("A second thermometer; no tape is touched.")
        return Text(f"Nothing: {left}.")
    return table(
        ["", "lies", "reel", "box says", "for", "from"],
        rows,
        [4, 20, 14, 31, 22, 9],
        column=wide,
        most=3,
        type_=DECK,
        close=close,
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


def _chamber(shelf: Shelf, plan: Plan, evening: Evening, load: Item, wide: float) -> list[Flowable]:
    touches = [
        step for step in evening.steps if step.touch and step.subject == load.chamber and step.item == load
    ]
    rows: list[list[Cell]] = []
    together = []  # the tapes of one touch stand under its time, on one page
    for step in touches:
        standing = evening.standing(step)
        if standing is not None:
            first_row = len(rows)
            rows += _touch_rows(standing, load)
            together.append((first_row, len(rows) - 1))
    rows += [_gone_row(key, why) for key, why in evening.struck_from(load).items()]
    head = ["time", "", "do", "reel", "from place", "to place", "then"]
    note = Text(_how_places_count(shelf, evening, load), DECK)
    began = real_start(shelf, load.chamber, load.reels, load.start)
    title = f"Chamber {said(load.chamber)} at {warmth(load.temperature)}, load of {short_moment(began)}"
    begins = any(step.kind == "load" for step in touches)
    first = load is next((one for one in evening.loads if looks_asked(shelf, one.reels)), load)
    looks = list(_looks(shelf, load, first=first)) if begins else []
    loud = [*about_load(shelf, load.chamber, load.reels), *let_in(shelf, load.reels)]
    trial = before_load(shelf, plan, load)
    loud = [trial, *loud] if begins and trial else loud
    apart = {key: on_two_reels(shelf, key) for key in load.reels} if begins else {}
    loud += [f"{key} {told}: {ONTO_ONE}" for key, told in apart.items() if told]
    beyond = [Text(f"! {said(says)}", DECK_STRONG) for says in loud]
    return section(
        title,
        *looks,
        *beyond,
        note,
        gap(2),
        table(
            head,
            rows,
            [11, 4.5, 13, 16, 13, 16, 26],
            column=wide,
            most=3,
            type_=DECK,
            close=True,
            together=together,
        ),
    )


def _looks(shelf: Shelf, load: Item, *, first: bool) -> Iterator[Flowable]:
    """The look at the base before a first heat: for which reels, what each look tells and cannot, a blank.

    What a look tells stands once on a sheet, at the ``first`` load.
    """
    unseen = looks_asked(shelf, load.reels)
    if unseen:
        whose = listed([said(one) for one in unseen])
        yield Text(
            f"Before the first heat, look at the base of {whose}{':' if first else ', as above.'}", DECK
        )
        yield from (Text(line, DECK) for line in ([" ".join(look_lines())] if first else []))
        yield from (Blank("Seen to be", height=20, type_=DECK), gap(4))


def _how_places_count(shelf: Shelf, evening: Evening, load: Item) -> str:
    """From where they count, and which stays empty; told whole at the evening's first load alone."""
    lowest = _lowest(shelf, load)
    if load is not evening.loads[0]:
        return f"Places and thermometer as above{lowest}."
    return (
        f"Places count from the bottom, 1 being the lowest{lowest}. Over: the other flange up. "
        "Each reel has its place to itself; none presses on another. "
        "A second thermometer hangs at reel height."
    )


def _lowest(shelf: Shelf, load: Item) -> str:
    chamber = shelf.studio.chamber(load.chamber)
    if chamber is None or chamber.motor_below is False:
        return ""
    from core.conditioning.loads.places_now import places_of_item

    used = [place.lowest for one in places_of_item(shelf, load) for place in one.after.values()]
    if not used or min(used) == 1:
        return "; full to the lowest place"
    if chamber.motor_below:
        return "; place 1, over the fan motor, stays empty"
    return "; place 1 stays empty: a fan's motor may be under it"


def _touch_rows(standing: Standing, load: Item) -> Iterator[list[Cell]]:
    """A line a reel: what comes out before what is turned, as its place may be wanted; each word once."""
    ends = {member.reel: member for member in load.members}
    order = sorted(
        {**standing.before, **standing.after},
        key=lambda key: (key not in standing.out, -_lowest_of(standing, key)),
    )
    time: Cell = Text(f"{standing.at:%H:%M}", CLOCK)
    said_last = ""
    for key in order:
        before, after = standing.before.get(key), standing.after.get(key)
        do = "turn"
        if key in standing.out:
            do, to = "take out", "out"
            then = f"cools until {short_moment(ends[key].cool_until)}" if key in ends else ""
        elif before is None:
            do, to, then = standing.do, f"place {after}", "side A up; key on the flange"
        elif before == after:
            do, to, then = "leave", "stays", ""
        else:
            to, then = f"place {after}, over", f"side {after.side} up" if after else ""
        told = Text(key, DECK_STRONG, 2)
        where = "shelf" if before is None else _place(before)
        yield [time, Tick(), "" if do == said_last else do, told, where, to, then]
        time, said_last = "", do


def _gone_row(key: str, why: str) -> list[Cell]:
    """A reel that is struck out of the load: crossed through, nothing to tick."""
    return [
        "",
        "",
        Text("not any more", DECK, 2),
        Text(key, Type(10, struck=True), 2),
        "",
        "",
        Text(why, DECK, 4),
    ]


def _lowest_of(standing: Standing, key: str) -> int:
    place = standing.before.get(key) or standing.after[key]
    return place.lowest


def _place(place: Place | None) -> str:
    return f"place {place}" if place else ""


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
