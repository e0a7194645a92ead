"""A transfer step and its passes: what the one key does next, and what a mishap does to both."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from typing import Literal

from core.clock import evening_of, minutes_between, write_time
from core.conditioning.box_asked import box_answered
from core.errors import Refused
from core.evening.answers import Cause, squeals
from core.evening.playing.again import splice_let_go
from core.evening.playing.passes import (
    TapePass,
    end_pass,
    go_on,
    lay_aside,
    next_number,
    passes_of,
    start_pass,
    stop_pass,
    stopped_before,
    stopped_for,
)
from core.evening.tonight.sheet import WIND, Step
from core.evening.tonight.steps import (
    deck_awaits,
    finish_step,
    line_up_doubted,
    part_of,
    skip_step,
    start_step,
    tape_of,
    words,
)
from core.evening.warming.load import reasons_asked
from core.logbook.passes import pass_key, played
from core.logbook.running import line_ups_running, winds_running
from core.logbook.steps import StepTaken, taken
from core.logbook.typed import with_entry
from core.plan import REACHES
from core.reels.length import play_seconds
from core.reels.needs import needs_repair, stays_closed
from core.shelf import Shelf
from core.standing.gates import asked_for
from core.standing.left_to_play import Transfer, transfer_named
from core.words import ended

Act = Literal["start", "start pass", "go on", "end pass", "finish"]


def open_pass(shelf: Shelf, step: Step, now: datetime) -> TapePass | None:
    """The pass of that step's tape that runs, or stands stopped and is to be gone on with.

    A stopped pass of another part of the tape is none of the step's.
    """
    mine = passes_of(shelf, now, step.subject)
    running = next((one for one in mine if one.state == "running"), None)
    stopped = (one for one in mine if one.state == "stopped" and one.part in ("", part_of(step)))
    return running or next(stopped, None)


def transfer_of(shelf: Shelf, step: Step) -> Transfer:
    """What of the tape the step transfers, and which of its passes are done."""
    return transfer_named(shelf, shelf.reel(step.subject), part_of(step))


def wanted_passes(shelf: Shelf, step: Step) -> int:
    """How many passes the step's transfer takes, those of earlier evenings among them."""
    return len(transfer_of(shelf, step).numbers)


def done_passes(shelf: Shelf, step: Step) -> int:
    """How many of them are done, also on earlier evenings."""
    return len(transfer_of(shelf, step).done)


def will_run(shelf: Shelf, step: Step, now: datetime) -> Fraction | None:
    """Seconds for which the tape runs when the step's next pass starts now; None where that is not known."""
    if step.kind == "audition":
        return Fraction(minutes_between(step.planned.start, step.planned.end)) * 60
    part = transfer_of(shelf, step)
    begun = part.to_run(now)
    return play_seconds(part.reel, shelf.studio) if begun is None else begun


def next_act(shelf: Shelf, step: Step, now: datetime) -> Act:
    """What the one key does to that step; Refused where it is done already."""
    if step.state == "done":
        raise Refused(f"{words(step)} is done already")
    if step.state != "running":
        return "start"
    if step.kind != "transfer":
        return "finish"
    tape = open_pass(shelf, step, now)
    left = wanted_passes(shelf, step) - done_passes(shelf, step)
    if tape is None:
        return "start pass" if left > 0 else "finish"
    if tape.state == "stopped":
        return "go on"
    return "finish" if left <= 1 or one_span(tape) else "end pass"


def press(
    shelf: Shelf,
    step: Step,
    at: datetime,
    because: str = "",
    place: float | None = None,
    *,
    backwards: bool = False,
) -> Shelf:
    """The shelf after the one key: a step started or finished, a pass started, gone on with or ended.

    ``place`` is where the tape ended, where the person tells it in place of the clock's; ``backwards``: the
    pass that begins runs from the tape's tail.
    """
    what, tape = next_act(shelf, step, at), step.subject if step.kind == "repair" else tape_of(step)
    if because.strip() and what in ("start", "start pass") and tape in shelf.reels:
        shelf = box_answered(shelf, tape)
    if what == "start":
        started = start_step(moved_here(shelf, step), step, at, because)
        if step.kind != "transfer":
            return started
        return _tape_runs(started, step, at, because, backwards=backwards)
    if what in ("start pass", "go on"):
        return _tape_runs(shelf, step, at, because, backwards=backwards)
    if what == "end pass":
        return _tape_ends(shelf, step, at, place)
    return finish(shelf, step, at, because, place)


def moved_here(shelf: Shelf, step: Step) -> Shelf:
    """The shelf with an earlier row of the same transfer left, since it goes on in this one."""
    for key, one in taken(shelf).items() if step.kind == "transfer" else ():
        same = (one.kind, one.subject, one.segment) == (step.kind, step.subject, part_of(step))
        if same and one.state == "running" and key != step.key:
            why = f"goes on {step.planned.start:%a %H:%M}"
            shelf = with_entry(shelf, key, replace(one, state="skipped", because=why))
    return shelf


def one_span(tape: TapePass) -> bool:
    """True for a pass over one span for a reason of its own: it transfers nothing."""
    return tape.span is not None and not tape.part


def finish(shelf: Shelf, step: Step, at: datetime, because: str = "", place: float | None = None) -> Shelf:
    """The shelf with the step and its pass done; a tape of which one span was played is not transferred."""
    tape = open_pass(shelf, step, at) if step.kind == "transfer" else None
    ended = _tape_ends(shelf, step, at, place)
    if tape is not None and one_span(tape):
        why = played(shelf)[pass_key(tape.reel, tape.number)].because
        return skip_step(ended, step, at, f"one span only: {why}")
    return finish_step(ended, step, at, because)


def start_span(shelf: Shelf, step: Step, at: datetime, span: str, because: str) -> Shelf:
    """The shelf with the step running over one span of the tape only, for a reason."""
    started = shelf if step.state == "running" else start_step(shelf, step, at)
    number = next_number(shelf, step.subject)
    return start_pass(started, step.subject, number, at, span=span, because=because)


def gate(shelf: Shelf, step: Step, at: datetime) -> str | None:
    """Why starting that load, or finishing that step, takes a reason; None if it takes none."""
    if step.kind == "load":
        return _load_asks(shelf, step, at) if step.state in ("waiting", "skipped") else None
    if step.kind == "align":
        told = line_up_doubted(shelf, step, at)
        return ended(told) if told else None
    stage = REACHES.get(step.kind)
    if stage is None:
        return None
    reel = shelf.reel(step.subject)
    found = step.kind == "identify" and stays_closed(reel)  # the look is over, and asks nothing more
    return None if found or reel.past(stage) else asked_for(shelf, reel, stage, at)


def _load_asks(shelf: Shelf, step: Step, at: datetime) -> str | None:
    chamber = shelf.studio.chamber(step.subject)
    if chamber is None:
        return None
    asked = reasons_asked(shelf, chamber, [shelf.reel(key) for key in step.reels], at)
    return ended("; ".join(asked)) if asked else None


def leave_out(shelf: Shelf, step: Step, at: datetime, because: str) -> Shelf:
    """The shelf with that step left out for the evening; a tape that runs for it stops where it is."""
    return skip_step(halt(shelf, step.subject, at, because, step_too=False), step, at, because, tonight=True)


def stop_line_up(shelf: Shelf, at: datetime, why: str, deck: str = "") -> Shelf:
    """The shelf with this evening's line-up, hearing or wind that runs left where it is; Refused for none.

    ``deck``: what runs on that deck alone.
    """
    every = (*line_ups_running(shelf, at), *winds_running(shelf, at))
    mine = [one for one in every if deck in ("", one.deck)]
    if not mine:
        raise Refused("no tape is running")
    for key, step in taken(shelf).items():
        runs = step.state == "running" and step.kind in ("align", "audition", WIND)
        if runs and any(one.since == step.started for one in mine):
            shelf = _left_standing(shelf, key, step, at, why)
    return shelf


def _left_standing(shelf: Shelf, key: str, step: StepTaken, at: datetime, why: str) -> Shelf:
    """The shelf with that step stopped, and kept apart: what was planned waits to be done once more."""
    apart = f"{key} stopped {write_time(at)}"
    left = replace(step, state="skipped", finished=at, because=why)
    return with_entry(shelf, apart, left).with_record(StepTaken.kept_as, key, None)


def halt(shelf: Shelf, reel: str, at: datetime, why: str, *, step_too: bool = True) -> Shelf:
    """The shelf with nothing running on that reel any more: its pass stands where it is, its step is left."""
    for one in passes_of(shelf, at, reel):
        if one.state == "running":
            key = pass_key(reel, one.number)
            kept = played(shelf)[key]
            out, at_its_end = kept.ran_out(at), 0 < kept.ends <= kept.position_at(at)
            place = kept.ends if at_its_end else None  # no tape is at a place behind its end
            shelf = stop_pass(shelf, key, out or at, why, place)
    for key, step in taken(shelf).items() if step_too else ():
        if reel == step.calibration and step.state == "running":
            shelf = _left_standing(shelf, key, step, at, why)
        elif reel == step.subject and step.state == "running":
            shelf = with_entry(shelf, key, replace(step, state="skipped", finished=at, because=why))
    return shelf


def stopped_for_squeal(
    shelf: Shelf, key: str, at: datetime, why: str, cause: Cause, place: float | None = None, *, moved: bool
) -> Shelf:
    """The shelf with that pass stopped for a squeal, and what lay on the heads.

    One that stands already takes the reason; ``moved``: it stood since that moment or place.
    """
    tape = played(shelf)[key]
    if tape.state == "running":
        shelf = stop_pass(shelf, key, at, why, place)
    else:
        shelf = stopped_for(stopped_before(shelf, key, at, place) if moved else shelf, key, why)
    return squeals(halt(shelf, tape.reel, at, why), tape.reel, cause)


def stopped_for_joint(
    shelf: Shelf, key: str, at: datetime, why: str, place: float | None = None, *, moved: bool
) -> Shelf:
    """The shelf with that pass stopped since a joint let go, which is to be remade; one that stands too."""
    tape = played(shelf)[key]
    if tape.state == "running":
        shelf = stop_pass(shelf, key, at, why, place)
    else:
        shelf = stopped_for(stopped_before(shelf, key, at, place) if moved else shelf, key, why)
    return shelf if needs_repair(shelf.reel(tape.reel)) else splice_let_go(shelf, tape.reel)


def runs_on(shelf: Shelf, key: str, at: datetime, because: str = "") -> Shelf:
    """The shelf with that pass going on, and the step that was left with it this evening running again."""
    reel, zone = played(shelf)[key].reel, shelf.studio.zone
    on, tonight = go_on(shelf, key, at, because=because), evening_of(at.astimezone(zone))
    mine = [(name, one) for name, one in taken(on).items() if (one.kind, one.subject) == ("transfer", reel)]
    left = [
        (one.started, name, one) for name, one in mine
        if one.state == "skipped" and one.started and evening_of(one.started.astimezone(zone)) == tonight
    ]  # fmt: skip
    if not left or any(one.state == "running" for _, one in mine):
        return on
    _, name, step = max(left)
    return with_entry(on, name, replace(step, state="running", finished=None, because="", not_tonight=False))


def _tape_runs(shelf: Shelf, step: Step, at: datetime, because: str, *, backwards: bool = False) -> Shelf:
    deck_awaits(shelf, step, at, because)
    tape = open_pass(shelf, step, at)
    if tape is not None and tape.state == "stopped":
        return go_on(shelf, pass_key(step.subject, tape.number), at, because=because)
    part = transfer_of(shelf, step)
    number = (part.left or part.numbers)[0]
    free = lay_aside(shelf, step.subject, "played once more", [number])
    return start_pass(free, step.subject, number, at, part=part, backwards=backwards)


def _tape_ends(shelf: Shelf, step: Step, at: datetime, place: float | None = None) -> Shelf:
    tape = open_pass(shelf, step, at) if step.kind == "transfer" else None
    return shelf if tape is None else end_pass(shelf, pass_key(step.subject, tape.number), at, place)
