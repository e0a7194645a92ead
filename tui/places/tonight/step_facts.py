"""What is to be known about the step under one's hand, in short sentences: what to set, where the tape is."""

from __future__ import annotations

from datetime import datetime, timedelta

from core.clock import clock_text, minutes_between
from core.conditioning.advisor import advice_of
from core.conditioning.alarms import alarms
from core.evening.around.unset import sets_nothing
from core.evening.around.where_it_lies import lies_now, place_told
from core.evening.asked_first import asked_first, warm_at_step
from core.evening.playing.left_lying import on_two_reels
from core.evening.playing.passes import TapePass, notes_of, place
from core.evening.tonight.line_ups import made_with, what_for
from core.evening.tonight.provisional import provisional_words
from core.evening.tonight.sheet import PLAYS, RunSheet, Step
from core.evening.tonight.transfer import open_pass, transfer_of
from core.plan import Plan
from core.reels.assumed import with_setup
from core.reels.reel import Reel
from core.shelf import Shelf
from core.values import dataclass
from core.words import counted
from tui.board.chamber import places_of_touch
from tui.board.words import clock
from tui.text.evening import to_patch


@dataclass(frozen=True, slots=True)
class Face:
    """What the lines are made from: the sheet, the running pass if there is one, and the moment."""

    shelf: Shelf
    sheet: RunSheet
    now: datetime
    tape: TapePass | None = None
    advice: tuple[str, ...] = ()
    plain: bool = False
    metres: bool = False
    plan: Plan | None = None
    unplanned: tuple[str, ...] = ()  # what stands here where no plan is kept


def step_facts(view: Face, step: Step) -> list[str]:
    """What stands beside the countdown: when it ends, where the tape is, what to watch for."""
    stop = to_stop(view, step) if step.state == "running" else []
    if stop:
        return stop
    tape, running = view.tape, step.state == "running"
    if running and tape is not None and tape.reel == step.subject and step.kind == "transfer":
        return [*_tape_facts(view, tape), *view.advice[:2]]
    if step.touch:
        return _touch_facts(view, step)
    facts = [_ends(view, step, step.expected.end)] if step.expected and running else []
    facts += [*(f"! {one}" for one in asked_first(view.shelf, step)), *view.advice] if running else []
    reel = view.shelf.reels.get(step.subject)
    if running and step.kind == "transfer" and reel is not None:
        setup, *more = _to_set(view, step, reel)  # between passes: five lines stand beside the clock
        return [*more, *view.advice, setup]
    if reel is not None:
        facts += [": ".join(one for one in (_where(view, step, reel), reel.box_label) if one)]
        facts += _to_set(view, step, reel)
        facts += [reel.notes] if reel.notes else []
    beside = warm_at_step(view.shelf, view.plan, step, view.now)
    facts += [f"! {beside}"] if beside else []
    rests = provisional_words(step.item) if step.item is not None else ""
    facts += [rests] if rests else []
    if step.kind == "align":
        facts += _of_line_up(view, step)
    return facts if running else [*facts, *view.advice]


def _where(view: Face, step: Step, reel: Reel) -> str:
    """Where one finds the tape of that step: on the deck where it lies there, else where it belongs."""
    on_deck = lies_now(view.shelf, reel.key, view.now) if step.state != "done" else ""
    return on_deck or place_told(view.shelf, reel.location)


def _of_line_up(view: Face, step: Step) -> list[str]:
    """What the line-up is for, what it is made with, and what comes first."""
    first = ["clean and demagnetise the path first"]
    if step.item is None:
        return first
    tape = view.shelf.reels.get(step.item.calibration)
    test = tape is not None and advice_of(view.shelf, tape, view.now).word == "test first"
    purpose = what_for(view.shelf, view.plan, step.item) if view.plan is not None else ""
    told = [f"{step.item.calibration}: test it by hand first"] if test else []
    does = sets_nothing(view.shelf, view.plan, step.item) if view.plan is not None else ""
    made = made_with(view.shelf, view.plan, step.item)
    return [*first, made, *told, *([does] if does else []), *([purpose] if purpose else [])]


def _touch_facts(view: Face, step: Step) -> list[str]:
    """How warm a load is to be, and where each of its reels goes; an alarm's own words."""
    from core.conditioning.loads.degrees import degrees_of
    from core.conditioning.loads.places_now import place_words, places_of_load

    if step.urgent:
        mine = (one for one in alarms(view.shelf) if one.chamber == step.subject and one.reels == step.reels)
        return [one.says for one in mine]

    shelf = view.shelf
    if step.kind == "load":
        standing = places_of_load(shelf, step.subject, step.reels, step.planned.start)
        treatments = (
            shelf.studio.treatment(shelf.reel(key).width) for key in step.reels if key in shelf.reels
        )
        warm = dict.fromkeys(
            f"set to {degrees_of(shelf).both(float(one.temperature.number))}"
            for one in treatments
            if one is not None
        )
    else:
        out = step.reels if step.kind == "take out" else ()
        standing, warm = places_of_touch(shelf, step.subject, step.planned.start, out, view.now), {}
    over = ["each that stays is laid over"] if standing is not None and standing.turns else []
    places = [f"{place_words(standing)}; place 1 is the lowest"] if standing is not None else []
    load = step.item if step.kind == "load" else None
    rests = provisional_words(load) if load is not None else ""
    said = view.advice if load is not None else ()
    return [*warm, *over, *places, *([rests] if rests else []), *said]


def _ends(view: Face, step: Step, end: datetime) -> str:
    left = seconds_left(view, step)
    return f"ends {clock(end)}" if left >= 0 else f"over since {clock(view.now + timedelta(seconds=left))}"


def out_of_turn(view: Face, step: Step | None) -> str:
    """One line of what is done before a tape that is not the next one: its wind, tracks, set-up."""
    current = view.sheet.current
    waits = step is not None and step.kind in PLAYS and step.state == "waiting"
    if step is None or not waits or (current is not None and current.key == step.key):
        return ""
    reel = view.shelf.reels.get(step.subject)
    facts = _to_set(view, step, reel) if reel is not None else []
    setup, more = [one.removeprefix("set up for ") for one in facts[:1]], "; ".join(facts[1:]).split("; ")
    more.sort(key=lambda one: not one.startswith("no fast winding"))  # a tape is hurt where that is cut
    hands = [one for one in more if not one.startswith("file ")]  # the file's name last: it is told elsewhere
    named = [one for one in more if one.startswith("file ")]
    return f"{step.subject}: {'; '.join([*hands, *setup, *named])}" if facts else ""


def _to_set(view: Face, step: Step, reel: Reel) -> list[str]:
    """The set-up of what is played, and where an earlier evening left it."""
    if step.kind == "audition":
        return [f"set up for {with_setup(reel, view.shelf.studio).setup.told}"]
    if step.kind != "transfer":
        return []
    part = transfer_of(view.shelf, step)
    facts = [
        f"set up for {with_setup(part.reel, view.shelf.studio).setup.told}",
        *to_patch(view.shelf, step, view.now),
    ]
    if part.again is not None:
        pass  # told with what is patched
    elif part.stands is not None:
        at = clock_text(int(part.stands.position_at(view.now)))
        tail = " from the tail" if part.stands.backwards else ""
        apart = on_two_reels(view.shelf, reel.key)
        way = "on two reels, no wind" if apart else "wind to there"
        facts.append(f"stands at {at}{tail}: {way}, the pass goes on")
    elif part.span is not None:
        facts.append(f"from {clock_text(int(part.span[0]))} to {clock_text(int(part.span[1]))} of the tape")
    between = step.state == "running" and open_pass(view.shelf, step, view.now) is None
    if part.done and not between:  # then said with what the key does next
        facts.append(f"{len(part.done)} of {len(part.numbers)} passes are done")
    return facts


def _tape_facts(view: Face, tape: TapePass) -> list[str]:
    reel = view.shelf.reels.get(tape.reel)
    where = f"at {place(tape)}"
    if reel is not None and reel.speed is not None and not tape.part:
        inches = tape.position * float(reel.speed.number)
        where += f", {inches * 0.0254:.0f} m" if view.metres else f", {inches / 12:.0f} ft"
    notes = notes_of(view.shelf, tape.reel)
    told = "no notes yet"
    if notes:
        last = notes[-1][1]
        many = counted(len(notes), "note")
        told = f"{many}, last {clock_text(int(last.seconds))} {last.kind}"
    state = [f"STOPPED: {tape.stopped_for}"] if tape.state == "stopped" else []
    return [where, *state, told]


def seconds_left(view: Face, step: Step) -> float:
    """Seconds until that step is over: by its tape where one runs, else by what was planned."""
    tape = view.tape
    if tape is not None and tape.reel == step.subject and step.kind == "transfer" and tape.total:
        return tape.left
    length = float(minutes_between(step.planned.start, step.planned.end)) * 60
    gone = float(minutes_between(step.started or view.now, view.now)) * 60
    return length - gone


def to_stop(view: Face, step: Step) -> list[str]:
    """Why the tape of a running step must be stopped, and what to do then; nothing where it may run."""
    keys = {step.subject, step.item.calibration if step.item is not None else ""}
    mine = [one for one in alarms(view.shelf) if one.on_deck and keys.intersection(one.reels)]
    return [line for one in mine for line in (f"STOP: {one.why}", f"then {one.then}")]
