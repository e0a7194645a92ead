"""The work order of one evening: clock times, what to fetch, reels and chamber, boxes to tick, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from reportlab.platypus import CondPageBreak, KeepTogether
from reportlab.platypus.flowables import Flowable

from core.clock import Span
from core.conditioning.alarms import alarms
from core.conditioning.places import Place, Standing
from core.evening.helper import needs_helper
from core.evening.lapsing import lapsing_on
from core.evening.runsheet import Step
from core.paper.care import care
from core.paper.evenings import Evening
from core.paper.foot import figures_foot
from core.paper.letters import said
from core.paper.look import Blank, Cell, Tick, gap, section, stacked, table
from core.paper.page import Sheet, bind, column, origin
from core.paper.tell import details, facts, headline, warnings
from core.paper.text import BODY, CLOCK, SMALL, SMALL_STRONG, STRONG, Text, Type
from core.paper.words import clock, day_and_year, short_moment, warmth
from core.plan import Item, Plan
from core.shelf import Shelf
from core.tape.cautions import DEFERS

NOTHING = "not written down"
IDENTIFY = (
    "To identify is to look, not to play: width, tracks, base (hold the pack to the light), condition, "
    "splices, how it is wound; write the reel's key on its flange or leader."
)


def work_order(
    shelf: Shelf, plan: Plan, evening: Evening, *, size: str = "A4", made: datetime, stale: str | None = None
) -> bytes:
    """The PDF of one evening's work order alone."""
    return bind([order_sheet(shelf, plan, evening, size)], origin(shelf, plan, made, stale), size)


def order_sheet(shelf: Shelf, plan: Plan, evening: Evening, size: str = "A4") -> Sheet:
    """The work order as a sheet of the set."""
    wide = column(size)
    story: list[Flowable] = [Text(f"NOW: {one.says}", Type(11, bold=True, after=4)) for one in alarms(shelf)]
    story += [
        Text(f"! {said(one.words)}", Type(9.5, bold=True, before=3), 2)
        for one in lapsing_on(shelf, plan, evening.start)
    ]
    story += section("Step by step", _steps(shelf, plan, evening, wide))
    if any(step.kind == "identify" for step in evening.steps):
        story.append(Text(IDENTIFY, Type(8, before=2)))
    story += section("Fetch, and put back", _fetch(shelf, plan, evening, wide))
    for load in evening.loads:
        story += _chamber(shelf, evening, load, wide)
    blocks = list(_reel_blocks(shelf, plan, evening))
    if blocks:
        story += section("The reels", *blocks)
    story += care(shelf, evening, wide)
    story.append(Text(DEFERS, Type(8.5, bold=True, before=4)))
    story.append(KeepTogether([Blank("Worked by", height=24, then="Remarks"), figures_foot("work order")]))
    return Sheet(f"Work order, {day_and_year(evening.day)}", tuple(story), _hours(shelf, evening))


def _hours(shelf: Shelf, evening: Evening) -> str:
    needed = any(needs_helper(shelf, item) for item in evening.items("align"))
    parts = [f"bench {_spans(evening.bench)}" if evening.bench else "no bench time: chamber only"]
    if any(step.kind in ("align", "transfer", "audition") for step in evening.steps):
        parts.append("loud until " + (", ".join(f"{span.end:%H:%M}" for span in evening.loud) or "never"))
    if needed or (evening.helper and any(deck.setup_needs_helper for deck in shelf.studio.decks)):
        told = ", needed" if needed else ", not needed: tell them"
        parts.append(f"helper {_spans(evening.helper) or 'not there'}{told}")
    return "; ".join(parts)


def _spans(spans: tuple[Span, ...]) -> str:
    return " and ".join(f"{span.start:%H:%M} to {span.end:%H:%M}" for span in spans)


def _steps(shelf: Shelf, plan: Plan, evening: Evening, wide: float) -> Flowable:
    rows = [
        _step_row(shelf, plan, evening, number, step) for number, step in enumerate(evening.steps, start=1)
    ]
    rows = [row for _, row in sorted(
        [*zip([step.planned.start for step in evening.steps], rows, strict=True),
         *((step.planned.start, _crossed_row(evening, step, why)) for step, why in evening.crossed)],
        key=lambda one: one[0])]  # fmt: skip
    head = ["", "from", "to", "", "what", "began", "ended"]
    return table(head, rows, [5, 10.5, 10.5, 4.5, 47, 12, 12], column=wide)


def _crossed_row(evening: Evening, step: Step, why: str) -> list[Cell]:
    """A step that must not be done any more: crossed through, nothing to tick and nothing to fill in."""
    crossed = Type(9, struck=True)
    name = f"not any more: {step.kind} {step.subject}" if step.touch else f"not any more: {headline(step)}"
    what = stacked(Text(name, crossed, 2), Text(why, SMALL_STRONG, 4))
    times = [clock(at, offset_of=evening.start) for at in (step.planned.start, step.planned.end)]
    return ["", *(Text(time, crossed) for time in times), "", what, "", ""]


def _step_row(shelf: Shelf, plan: Plan, evening: Evening, number: int, step: Step) -> list[Cell]:
    first = evening.start
    lines: list[Flowable] = [Text(headline(step, evening.standing(step)), STRONG, 4)]
    lines += [Text(line, SMALL, 2) for line in details(shelf, step, plan)]
    if step.key in evening.without:
        lines.append(Text(evening.without[step.key], SMALL_STRONG, 4))
    start = clock(step.planned.start, offset_of=first)
    return [
        str(number),
        Text(start, CLOCK),
        Text(clock(step.planned.end, offset_of=first), BODY),
        Tick(),
        stacked(*lines),
        Blank(height=14),
        Blank(height=14),
    ]


def _fetch(shelf: Shelf, plan: Plan, evening: Evening, wide: float) -> Flowable:
    uses: dict[str, list[str]] = {}
    for step in evening.steps:
        item = step.item
        if step.kind in ("turn", "take out", "verify"):
            continue
        if step.kind == "align" and item is not None and item.calibration:
            uses.setdefault(item.calibration, []).append("line up")
        for key in step.reels:
            uses.setdefault(key, []).append(step.kind)
    rows = [_fetch_row(shelf, plan, evening, key, kinds) for key, kinds in uses.items()]
    if not rows:
        return Text("Nothing: all that is touched tonight is in a chamber.")
    return table(
        ["", "reel", "box says", "from", "for", "back"], rows, [4.5, 14, 31, 26, 18, 6.5], column=wide, most=3
    )


def _fetch_row(shelf: Shelf, plan: Plan, evening: Evening, key: str, kinds: list[str]) -> list[Cell]:
    reel = shelf.reels.get(key)
    words = ", ".join(dict.fromkeys(kinds))
    if reel is None:
        return [Tick(), Text(key, STRONG), "not on the shelf any more", "", words, Tick()]
    out = [m.out for item in plan.items for m in item.members if m.reel == key and m.out <= evening.start]
    place = reel.location or NOTHING
    if out or reel.chamber:
        place += (
            f"; or where it cooled since {short_moment(max(out))}" if out else f"; in chamber {reel.chamber}"
        )
    return [
        Tick(),
        Text(key, STRONG, 2),
        Text(reel.box_label or reel.contents or "(nothing)", BODY, 2),
        place,
        words,
        Tick(),
    ]


def _chamber(shelf: Shelf, evening: Evening, load: Item, wide: float) -> list[Flowable]:
    touches = [
        step for step in evening.steps if step.touch and step.subject == load.chamber and step.item == load
    ]
    rows: list[list[Cell]] = []
    for step in touches:
        standing = evening.standing(step)
        if standing is not None:
            rows += _touch_rows(standing, load)
    head = ["time", "", "do", "reel", "from place", "to place", "then"]
    note = Text(
        f"Places count from the bottom, 1 being the lowest{_lowest(shelf, load)}. Over: the other flange up. "
        "Each reel has its place to itself; none presses on another. "
        "A second thermometer hangs at reel height.",
        SMALL,
    )
    title = f"Chamber {said(load.chamber)} at {warmth(load.temperature)}, load of {short_moment(load.start)}"
    return section(title, note, gap(2), table(head, rows, [11, 4.5, 13, 16, 13, 16, 26], column=wide, most=3))


def _lowest(shelf: Shelf, load: Item) -> str:
    chamber = shelf.studio.chamber(load.chamber)
    if chamber is None:
        return ""
    from core.conditioning.places import standings

    used = [place.lowest for one in standings(load, chamber, shelf.reels) for place in one.after.values()]
    return (
        "; place 1, over the fan motor, stays empty"
        if used and min(used) > 1
        else "; full to the lowest place"
    )


def _touch_rows(standing: Standing, load: Item) -> Iterator[list[Cell]]:
    ends = {member.reel: member for member in load.members}
    first = True
    order = sorted({**standing.before, **standing.after}, key=lambda key: -_lowest_of(standing, key))
    for key in order:
        before, after = standing.before.get(key), standing.after.get(key)
        time: Cell = Text(f"{standing.at:%H:%M}", CLOCK) if first else ""
        do = standing.do if first else ""
        first = False
        if key in standing.out:
            then = f"cools until {short_moment(ends[key].cool_until)}" if key in ends else ""
            yield [time, Tick(), do, Text(key, STRONG, 2), _place(before), "out", then]
        elif before is None:
            yield [
                time,
                Tick(),
                do,
                Text(key, STRONG, 2),
                "shelf",
                f"place {after}",
                "side A up; key on the flange",
            ]
        elif before == after:
            yield [time, Tick(), do, Text(key, STRONG, 2), _place(before), "stays", ""]
        else:
            yield [
                time,
                Tick(),
                do,
                Text(key, STRONG, 2),
                _place(before),
                f"place {after}, over",
                f"side {after.side} up" if after else "",
            ]


def _lowest_of(standing: Standing, key: str) -> int:
    place = standing.before.get(key) or standing.after[key]
    return place.lowest


def _place(place: Place | None) -> str:
    return f"place {place}" if place else ""


def _reel_blocks(shelf: Shelf, plan: Plan, evening: Evening) -> Iterator[Flowable]:
    keys = dict.fromkeys(
        key for step in evening.steps if step.kind not in ("identify", "turn", "verify") for key in step.reels
    )
    for key in keys:
        reel = shelf.reels.get(key)
        if reel is None:
            continue
        yield CondPageBreak(44)  # a reel's name never stands alone at the foot of a page
        yield Text(f"{said(key)}  {said(reel.contents or reel.box_label)}", Type(9.5, bold=True, before=5), 2)
        yield Text(facts(shelf, reel), SMALL, 3)
        if reel.notes:
            yield Text(f"Note: {said(reel.notes)}", SMALL, 4)
        for line in warnings(shelf, plan, reel, plan.start):
            yield Text(f"! {line}", Type(8.5, bold=True), 3)
