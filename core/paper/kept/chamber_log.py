"""The log of a chamber load as it was kept: readings, turns, weights, hours, and what is next."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from reportlab.platypus.flowables import Flowable

from core.conditioning.load_state import LoadState, MemberState, load_state
from core.conditioning.loads.degrees import Degrees, degrees_of
from core.conditioning.loads.kept_loads import loads_of
from core.errors import Refused
from core.paper.look.foot import figures_foot
from core.paper.look.line_order import said
from core.paper.look.look import Blank, Cell, section, table
from core.paper.look.page import Sheet, bind, origin
from core.paper.look.page import column as column_of
from core.paper.look.text import BODY, SMALL, STRONG, Text, Type
from core.paper.look.words import day_and_clock, short_moment
from core.quantities import plain
from core.shelf import Shelf
from core.tape.cautions import DEFERS, Caution, cautions
from core.tape.where import figure

_SPARE_ROWS = 3
_LOUD = Type(9, bold=True, before=2)


def kept_log_pdf(shelf: Shelf, key: str, now: datetime, *, size: str = "A4") -> bytes:
    """The PDF of one load's log as it stands; Refused for a load that the shelf does not know."""
    state = load_state(shelf, key, now)
    return bind([kept_log_page(shelf, state, size)], origin(shelf, None, now), size)


def kept_log_name(shelf: Shelf, key: str) -> str:
    """What the file of a load's log is called, before its ending."""
    log = loads_of(shelf).get(key)
    if log is None:
        raise Refused(f"no load {key!r} on this shelf")
    return f"chamber-{log.chamber}-{log.at:%Y-%m-%d-%H%M}"


def kept_log_page(shelf: Shelf, state: LoadState, size: str = "A4") -> Sheet:
    """The log of a load with everything that was written down, and blanks while it still runs."""
    wide, degrees = column_of(size), degrees_of(shelf)
    story: list[Flowable] = [Text(_limits(state, degrees), BODY), *_what_happened(state)]
    running = state.state in ("runs", "empty run")
    readings = list(_readings(state, degrees)) + ([[""] * 5] * _SPARE_ROWS if running else [])
    heads = ["time", "at", "planned", "read", "over or under"]
    shares = [16, 20, 16, 16, 32]
    if readings:
        story += section("Temperatures", _table(heads, readings, shares, wide))
    else:
        story += section("Temperatures", Text("None was written down.", SMALL))
    turns = list(_turns(state))
    if turns:
        story += section("Turns", _table(["due", "done", ""], turns, [25, 25, 50], wide))
    if state.members:
        heads = [
            "reel",
            "box says",
            "hours had",
            "out",
            "cool until",
            "playable",
            "grams before, after",
            "ran",
        ]
        rows = [_reel(one) for one in state.members]
        story += section("Reels", _table(heads, rows, [10, 18, 11, 13, 13, 13, 14, 9], wide))
        story += [Text(f"! {one.next}", _LOUD) for one in state.members if one.next]
    care = [Text(f"– {one.hazard} {one.usual}", Type(7.5, before=1)) for one in _care()]
    story += section("Take care", *care)
    story += [Text(DEFERS, Type(8, bold=True, before=3)), Blank("Remarks", height=20)]
    story.append(figures_foot("conditioning log"))
    what = "Empty run" if state.state == "empty run" else "Conditioning log"
    aside = f"begun {day_and_clock(state.log.at)}; {state.state}"
    return Sheet(f"{what}, chamber {said(state.log.chamber)}, as kept", tuple(story), aside)


def _table(
    heads: Sequence[Cell], rows: Sequence[Sequence[Cell]], shares: Sequence[float], wide: float
) -> Flowable:
    return table(heads, rows, shares, column=wide, box=True, tall=17, type_=SMALL)


def _care() -> list[Caution]:
    return [one for one in cautions("condition") if one.weight == "person"]


def _limits(state: LoadState, degrees: Degrees) -> str:
    course, stop = state.programme, degrees.text(figure("heat.hard_stop_c"))
    if course is None:
        return f"No treatment in the studio's file; at {stop} switch off, door open, reels out."
    low, high = degrees.text(course.low_c), degrees.text(course.high_c)
    turned = "" if state.log.trial else f" Turned and moved every {plain(course.turn_hours)} h."
    return (
        f"Planned {degrees.both(course.celsius)}. At reel height {low} to {high} once it is warm; "
        f"at {stop} switch off, door open, reels out.{turned}"
    )


def _what_happened(state: LoadState) -> Iterator[Flowable]:
    for gap in state.log.gaps:
        why = f" ({said(gap.why)})" if gap.why else ""
        yield Text(f"Off {short_moment(gap.off)} to {short_moment(gap.on)}{why}: it does not count.", BODY)
    if state.log.broken_off is not None:
        yield Text(f"! Broken off {short_moment(state.log.broken_off)}: {said(state.log.why)}", _LOUD)
    for one in state.verdict:
        yield Text(f"! {one}", _LOUD)
    if state.state == "empty run" and not state.verdict:
        yield Text("Two places were read, within limits: loads may go in.", BODY)


def _readings(state: LoadState, degrees: Degrees) -> Iterator[list[Cell]]:
    planned = degrees.text(state.programme.celsius) if state.programme is not None else ""
    for one in sorted(state.log.readings, key=lambda reading: reading.at):
        where = f" at {one.place}" if one.place else ""
        lead = f"{degrees.text(one.celsius)}{where}: "
        flag = next((f.says for f in state.flags if f.at == one.at and f.says.startswith(lead)), "")
        wrong = f"! {flag.removeprefix(lead)}" if flag else ""
        yield [short_moment(one.at), said(one.place), planned, Text(degrees.text(one.celsius), STRONG), wrong]


def _turns(state: LoadState) -> Iterator[list[Cell]]:
    words = {"done": "", "late": "! late", "missed": "! missed", "due": "due", "ahead": ""}
    for turn in state.turns:
        done = short_moment(turn.done) if turn.done is not None else ""
        yield [short_moment(turn.due), done, words[turn.state]]


def _reel(one: MemberState) -> list[Cell]:
    wanted = f" of {plain(one.wanted)}" if one.wanted is not None else ""
    grams = [f"{g:g}" if g is not None else "–" for g in (one.member.before_g, one.member.after_g)]
    weighed = ", ".join(grams) if grams != ["–", "–"] else ""
    lost = f"; {one.drying.partition(' lost ')[2]} lost" if " lost " in one.drying else ""
    days = f"{float(one.days_left):.1f} days more" if one.days_left is not None and one.days_left >= 0 else ""
    over = "over" if one.days_left is not None and one.days_left < 0 else ""
    due = f"by plan {short_moment(one.due)}" if one.due is not None and not one.next else ""
    due = "OUT NOW" if one.out_now else due
    return [
        Text(one.member.reel, STRONG, 2),
        Text("; ".join(said(part) for part in (one.box, one.out_now) if part), SMALL, 4),
        f"{float(one.had):.1f}{wanted} h",
        short_moment(one.out) if one.out is not None else due,
        short_moment(one.cool_until) if one.cool_until is not None else "",
        days or over,
        f"{weighed}{lost}",
        one.member.behaved,
    ]
