"""A chamber load as lines of (role, text, reel): what it is, its reels, temperatures, turns, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from core.conditioning.alarms import alarms, out_now
from core.conditioning.box_asked import boxes_meanwhile
from core.conditioning.hours_had import overdue_words
from core.conditioning.lies_off import lies_off
from core.conditioning.load_state import LoadState, MemberState
from core.conditioning.loads.chamber_flags import TURN_NOW, Turn, may_still_turn
from core.conditioning.loads.degrees import Degrees
from core.conditioning.loads.trial import trial_words
from core.conditioning.spreading.shared_air import mouldy_chamber
from core.evening.warming.let_in import let_in
from core.quantities import plain
from core.shelf import Shelf
from core.tape.cautions import DEFERS, cautions
from core.tape.where import figure
from core.words import day_text, hours_text
from tui.board.words import clock, moment_words

Row = tuple[str, str, str]  # role, text, the reel that the line is about (or none)


def title(state: LoadState, now: datetime) -> str:
    """``C1: load of Tue 1 Dec 17:15, runs``; with its year where that is far from now."""
    at = state.log.at
    what = "empty run" if state.state == "empty run" else "load"
    ends = "" if state.state == "empty run" else f", {state.state}"
    return f"{state.log.chamber}: {what} of {day_text(at.date(), now.date())} {clock(at)}{ends}"


def load_lines(shelf: Shelf, state: LoadState, now: datetime, degrees: Degrees) -> Iterator[Row]:
    """Everything that is kept of one load, and what follows from it."""
    yield from (("bad", f"! {loud.says}", "") for loud in alarms(shelf))
    yield "head", title(state, now), ""
    yield "word", limits(state, degrees), ""
    yield "dim", "Somebody stays by a warm chamber, awake. All cautions stand below.", ""
    yield from _what_next(shelf, state, now)
    alarmed = out_now(shelf)  # what is inside and mouldy is an alarm, which says more
    told = any(one.member.reel in alarmed for one in state.members)
    air = "" if told else mouldy_chamber(shelf, state.log.chamber)
    yield from [("bad", f"! {air}.", "")] if air else []
    inside = [one.member.reel for one in state.members] if state.state == "runs" else []
    yield from (("bad", f"! {says}", "") for says in let_in(shelf, inside))
    boxes = boxes_meanwhile(shelf)
    yield from (("bad", f"! {boxes[key]}", key) for key in inside if key in boxes and key not in alarmed)
    if state.members:
        yield "head", "Reels", ""
        for one in state.members:
            yield from _reel(one, now)
    yield "head", "Temperatures", ""
    yield from _readings(state, degrees, now)
    if state.turns:
        yield "head", "Turns", ""
        yield from (_turn(turn, now, state) for turn in state.turns)
    yield "head", "Take care", ""
    yield from care_rows()


def limits(state: LoadState, degrees: Degrees) -> str:
    """Set point, what a second thermometer may show, the hard stop, and how often the reels are turned."""
    course = state.programme
    stop = degrees.text(figure("heat.hard_stop_c"))
    if course is None:
        return (
            f"The studio's file gives no treatment: nothing is flagged but {stop}, where the reels come out."
        )
    low, high = degrees.text(course.low_c), degrees.text(course.high_c)
    turned = "" if state.log.trial else f" Turned and moved every {plain(course.turn_hours)} h."
    return (
        f"Planned {degrees.both(course.celsius)}. At the reels {low} to {high} once it is warm; "
        f"at {stop} switch off, reels out.{turned}"
    )


def care_rows() -> Iterator[Row]:
    """What may hurt at a warm chamber: people first."""
    for one in cautions("condition"):
        yield "word", f"{one.hazard} {one.usual}", ""
    yield "dim", DEFERS, ""


def _what_next(shelf: Shelf, state: LoadState, now: datetime) -> Iterator[Row]:
    from tui.board.chamber import next_touches

    if state.state == "runs":
        for touch in next_touches(shelf, now):
            if touch.chamber == state.log.chamber and not touch.urgent:
                yield ("bad" if touch.late(now) else "next"), f"Next: {touch.words(now)}", ""
    for gap in state.log.gaps:
        why = f" ({gap.why})" if gap.why else ""
        yield "word", f"Off {_at(gap.off, now)} to {_at(gap.on, now)}{why}: that time does not count.", ""
    if state.log.broken_off is not None:
        yield "bad", f"Broken off {_at(state.log.broken_off, now)}: {state.log.why}", ""
        lie = (one for one in lies_off(shelf) if one.chamber == state.log.chamber)
        yield from (("bad", f"{one.says(now)}.", "") for one in lie if one.since == state.log.broken_off)
    if state.state == "empty run":
        fine = "Two places were read, within limits: loads may go in."
        yield from (("bad", one, "") for one in state.verdict)
        if not state.verdict:
            yield "good", fine, ""
    missing = trial_words(shelf, state.log.chamber)
    if missing and state.state != "empty run":
        yield "bad", missing, ""


def _reel(one: MemberState, now: datetime) -> Iterator[Row]:
    key = one.member.reel
    wanted = f" of {plain(one.wanted)} h" if one.wanted is not None else ""
    parts = [f"{hours_text(int(one.had * 60))}{wanted}"]
    early = one.out is not None and one.wanted is not None and one.had < one.wanted
    if one.out is not None:
        parts.append(f"out {_at(one.out, now)}{', too early' if early else ''}")
        if one.cool_until is not None and one.cool_until > now:
            parts.append(f"cools until {_at(one.cool_until, now)}")
        elif one.cool_until is not None:
            parts.append("cool")
    elif one.out_now:
        parts.append("out now")
    elif one.due is not None and not one.next:
        parts.append(f"out at {_at(one.due, now)}")
    if one.days_left is not None:
        parts.append(days_words(float(one.days_left)))
    box = f" {one.box}" if one.box else ""
    yield "bad" if early or one.out_now else "word", f"{key}{box}: {', '.join(parts)}", key
    if one.out_now:
        yield "bad", f"  {one.out_now}", key
    told = [weight for weight in (_weights(one), one.drying) if weight]
    if one.member.behaved:
        ran = one.member.behaved
        told.append("stopped on the deck" if ran == "stopped" else f"ran with {ran}")
    if told:
        yield "dim", f"  {'; '.join(told)}", key
    waits = one.due is not None and one.out is None and not one.next and not one.out_now
    late = overdue_words(one.due, now) if one.due is not None and waits else ""
    if late:
        yield "bad", f"  {late}", key
    if one.next:
        yield "next", f"  {one.next}", key


def days_words(days: float) -> str:
    """Playable days that are left, or for how long they are over."""
    return f"playable {days:.1f} days more" if days >= 0 else f"playable time over since {-days:.1f} days"


def _weights(one: MemberState) -> str:
    before, after = one.member.before_g, one.member.after_g
    shown = [f"{g:g} g {word}" for g, word in ((before, "before"), (after, "after")) if g is not None]
    return ", ".join(shown)


def _readings(state: LoadState, degrees: Degrees, now: datetime) -> Iterator[Row]:
    if not state.log.readings:
        yield "dim", "None yet: a second thermometer at reel height, once after an hour and at each turn.", ""
    planned = state.programme.celsius if state.programme is not None else None
    for one in sorted(state.log.readings, key=lambda reading: reading.at):
        where = f" at {one.place}" if one.place else ""
        read = f"{degrees.text(one.celsius)}{where}"
        flag = next((f for f in state.flags if f.at == one.at and f.says.startswith(f"{read}:")), None)
        text = f"{_at(one.at, now)}  {read}"
        if planned is not None:
            text += f", planned {degrees.text(planned)}"
        if flag is not None:
            yield "bad", f"! {text}: {flag.says.partition(': ')[2]}", ""
        else:
            yield "word", f"  {text}", ""


def _turn(turn: Turn, now: datetime, state: LoadState) -> Row:
    due = _at(turn.due, now)
    if turn.done is not None:
        late = f", {hours_text(abs(int((turn.done - turn.due).total_seconds()) // 60))} late"
        done = f"  {due}  done {_at(turn.done, now)}{late if turn.state == 'late' else ''}"
        return ("bad" if turn.state == "late" else "word"), done, ""
    if state.state != "runs" and turn.state != "missed":
        return "dim", f"  {due}  not done", ""
    open_yet = state.state == "runs" and may_still_turn(state.log, state.turns, turn, now)
    missed = f"missed: {TURN_NOW}" if open_yet else "missed: every reel lay on where it was"
    words = {"missed": missed, "due": "due now", "ahead": "ahead"}
    role = {"missed": "bad", "due": "next", "ahead": "dim"}[turn.state]
    return role, f"{'!' if turn.state == 'missed' else ' '} {due}  {words[turn.state]}", ""


def _at(moment: datetime, now: datetime) -> str:
    return moment_words(moment, now)
