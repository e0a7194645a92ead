"""A chamber's load on the evening's order: what is looked at before, every touch with the tapes' places."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus.flowables import Flowable

from core.conditioning.base_look import look_lines, looks_asked
from core.conditioning.beyond_published import about_load
from core.conditioning.loads.kept_loads import real_start
from core.conditioning.loads.places import Place, Standing
from core.evening.playing.left_lying import on_two_reels
from core.evening.playing.lying import ONTO_ONE
from core.evening.warming.let_in import let_in
from core.paper.evening.empty_run import before_load
from core.paper.look.evenings import Evening
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, gap, section, table
from core.paper.look.text import CLOCK, DECK, DECK_STRONG, Text, Type
from core.paper.look.words import short_moment, warmth
from core.plan import Item, Plan
from core.shelf import Shelf
from core.words import listed


def chamber_part(shelf: Shelf, plan: Plan, evening: Evening, load: Item, wide: float) -> list[Flowable]:
    """The section of a load on the evening's order: a line a tape and touch, with its places."""
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
