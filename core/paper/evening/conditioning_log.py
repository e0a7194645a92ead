"""The conditioning log of one load: every touch's clock time, places, and blanks for the temperature."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.conditioning.base_look import look_lines, looks_asked
from core.conditioning.loads.kept_loads import real_start
from core.conditioning.loads.places_now import places_of_item
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, Tick, section, table
from core.paper.look.page import Sheet, bind, column, origin
from core.paper.look.text import CLOCK, DECK, DECK_STRONG, UNTIL, Text, Type
from core.paper.look.words import clock, short_moment, warmth
from core.plan import Item, Plan
from core.quantities import plain, read_quantity
from core.reels.needs import base_of
from core.shelf import Shelf
from core.tape.where import figure
from core.words import listed

_SPARE_ROWS = 4
NOTHING_GONE: Mapping[str, str] = {}


def conditioning_pdf(shelf: Shelf, plan: Plan, load: Item, *, size: str = "A4", made: datetime) -> bytes:
    """The PDF of one load's log alone."""
    return bind([conditioning_page(shelf, load, size)], origin(shelf, plan, made), size)


def conditioning_page(
    shelf: Shelf, load: Item, size: str = "A4", gone: Mapping[str, str] = NOTHING_GONE
) -> Sheet:
    """The log of a load: limits, a row a touch with blanks, a row a reel, an empty few for other readings.

    ``gone`` are the reels that must not go in any more, each with the reason: crossed through.
    """
    wide = column(size)
    head = ["by the plan", "", "do", "done at", "dial", "at the reels", "by", "places after it"]
    touches = table(
        head,
        list(_touches(shelf, load)),
        [13, 4, 20, 10, 8, 11, 7, 27],
        column=wide,
        box=True,
        tall=22,
        type_=DECK,
    )
    story: list[Flowable] = [Text(limits(load), DECK)]
    story += section("Touches", touches)
    reels = [
        "reel",
        "box says",
        "in",
        "out by the plan",
        "really out",
        "cool until",
        "grams before",
        "after",
        "base seen",
    ]
    rows = table(
        reels,
        [*_reels(shelf, load), *(_gone(key, why) for key, why in gone.items())],
        [10, 20, 7, 13, 9, 13, 10, 8, 10],
        column=wide,
        box=True,
        tall=22,
        type_=DECK,
    )
    looks = [Text(line, DECK) for line in look_lines()] if looks_asked(shelf, load.reels) else []
    story += section("Reels", Text("Nothing goes in that is not polyester.", DECK), *looks, rows)
    story += [
        Blank("Switched off, door open, unplugged at", height=24, type_=DECK),
        Blank("Remarks", height=20, type_=DECK),
    ]
    story.append(figures_foot("conditioning log"))
    title = f"Conditioning log, chamber {said(load.chamber)}"
    began = real_start(shelf, load.chamber, load.reels, load.start)
    return Sheet(title, tuple(story), f"load of {short_moment(began)}, out by {short_moment(load.end)}")


def limits(load: Item, ends_by: str = "switch off, door open, reels out") -> str:
    """What the second thermometer may show, and what ends the load at once."""
    stop, band = figure("heat.hard_stop_c"), figure("heat.reading_band_c")
    ends = f"Above {stop} °C: {ends_by}."
    try:
        warm = read_quantity(load.temperature, "temperature")
    except ValueError:
        return f"Set point {warmth(load.temperature) or 'not known'}. {ends}"
    low, high = plain(warm.number - band), plain(min(warm.number + band, stop))
    return (
        f"Set point {warmth(str(warm))}. At reel height from {low} to {high} °C; the first hour may read "
        f"lower at the reels. {ends}"
    )


def _touches(shelf: Shelf, load: Item) -> Iterator[list[Cell]]:
    for one in places_of_item(shelf, load):
        do = one.do
        if one.out:
            do += " " + listed([said(key) for key in one.out]) + ("; turn the rest" if one.turns else "")
        ordered = sorted(one.after.items(), key=lambda pair: pair[1].lowest)
        places = ", ".join(f"{said(key)} {place}{place.side}" for key, place in ordered) or "empty"
        when = clock(one.at, load.start.date(), load.start)
        yield [Text(when, CLOCK), Tick(), Text(do, DECK, 3), "", "", "", "", Text(places, DECK, 3)]
    for _ in range(_SPARE_ROWS):
        yield ["", "", "reading", "", "", "", "", ""]


def _reels(shelf: Shelf, load: Item) -> Iterator[list[Cell]]:
    for member in load.members:
        reel = shelf.reels.get(member.reel)
        box = reel.box_label or reel.contents if reel is not None else ""
        out, cool = clock(member.out, load.start.date(), load.start), short_moment(member.cool_until)
        seen = reel.base_seen if reel is not None and reel.base_seen != "no" else ""
        base = Text({"yes": base_of(reel, {}) if reel is not None else ""}.get(seen, seen), DECK, 2)
        yield [
            Text(member.reel, DECK_STRONG, 2),
            Text(box, DECK, 2),
            "",
            Text(out, UNTIL),
            "",
            cool,
            "",
            "",
            base,
        ]


def _gone(key: str, why: str) -> list[Cell]:
    return [Text(key, Type(10, struck=True), 2), Text(f"not any more: {why}", DECK, 4), *[""] * 7]
