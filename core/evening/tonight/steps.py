"""Starting, finishing, skipping and repeating a step: each also does to the shelf what the step means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from core.clock import minutes_between, write_time
from core.conditioning.advisor import advice_of
from core.conditioning.loads.began import begun_with_some
from core.conditioning.loads.kept_loads import changed_load, loads_of, running_load
from core.conditioning.loads.left_inside import left_inside
from core.conditioning.loads.limits import NOT_TREATED, early_by
from core.conditioning.spreading.dirty_path import path_before
from core.conditioning.spreading.shared_air import look_in_short
from core.errors import Refused
from core.evening.mark import line_up, mark
from core.evening.playing.again import repaired
from core.evening.playing.left_lying import left_on
from core.evening.playing.lying import LeftLying
from core.evening.playing.passes import deck_is_free, lay_aside, nothing_runs
from core.evening.tonight.line_ups import tones_not_now
from core.evening.tonight.sheet import MOVED, OFFERED, ON_A_DECK, PLAYS, WIND, Step
from core.evening.warming.load import load
from core.evening.warming.take_out import not_before_it_went_in, take_out
from core.logbook.steps import StepTaken, TakenState, taken
from core.logbook.typed import with_entry
from core.plan import REACHES
from core.reels.needs import inspect_first, stays_closed
from core.shelf import Shelf
from core.standing.gates import at_hand, lines_up, not_inspected, ready_to_play, unmet, untried
from core.standing.left_to_play import to_play, transfer_named, transfers
from core.studio.setup import Setup
from core.tape.where import figure
from core.words import day_text, hours_text, listed


def start_step(shelf: Shelf, step: Step, at: datetime, because: str = "") -> Shelf:
    """The shelf with that step running since that moment; a load's hours run from here."""
    _refuse_struck(step)
    if step.state not in ("waiting", "skipped", MOVED, OFFERED):
        raise Refused(f"{words(step)} is {step.state} already")
    deck_awaits(shelf, step, at, because)
    if step.kind in ON_A_DECK:
        _may_be_played(shelf, step, at, because)
    if step.kind in ("align", "repair"):
        _at_hand(shelf, step, at, because)
    _something_to_verify(shelf, step)
    if step.kind == "load":
        shelf = load(shelf, step.subject, step.reels, at, because, step.planned.start)
    return with_entry(shelf, step.key, _taken(shelf, step, state="running", started=at, because=because))


def _may_be_played(shelf: Shelf, step: Step, at: datetime, because: str) -> None:
    """What keeps a tape off the deck stands, whatever is said; a gate that is not met takes a reason."""
    reel = shelf.reel(step.subject)
    why = ready_to_play(shelf, reel, at)
    if why is not None:
        raise Refused(f"{reel.key} may not be played: {why}")
    if step.kind == "audition":
        nothing_runs(shelf, at, deck_of_step(step), step.subject)
    gate = unmet(shelf, reel, "transferred", at) if step.kind == "transfer" else not_inspected(reel)
    if gate is not None and not because.strip():
        raise Refused(f"{reel.key} may not be played: {gate}")


def to_try(shelf: Shelf, step: Step, at: datetime) -> str | None:
    """That the tape which the step runs is to be tried by hand first, a calibration tape too; None if not.

    Asked of the person by key; the command takes a reason.
    """
    reel = shelf.reels.get(tape_of(step))
    why = untried(shelf, reel, at) if reel is not None else None
    if reel is None or why is None:
        return None
    how = f"`reelturn set {reel.key} tried=clean` tells that it ran clean"
    return f"{reel.key}: {why} ({how}; --because begins all the same)"


def tape_of(step: Step) -> str:
    """The tape that the step plays on a deck: a line-up its calibration tape; empty where it plays none."""
    if step.kind == "align":
        return step.item.calibration if step.item is not None else ""
    return step.subject if step.kind in PLAYS else ""


def looks_first(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """The tapes that the step plays, mends or begins to warm, and that are to be looked at before."""
    keys = step.reels if step.kind == "load" else (step.subject if step.kind == "repair" else tape_of(step),)
    return tuple(key for key in keys if look_in_short(shelf, key))


def _at_hand(shelf: Shelf, step: Step, at: datetime, because: str) -> None:
    """A calibration reel is asked about like any other before it runs; what is warm is not mended."""
    if step.kind == "repair":
        cools = at_hand(shelf, shelf.reel(step.subject), at)
        if cools is not None:
            raise Refused(f"{step.subject} may not be mended: {cools}")
        return
    tones = tones_not_now(shelf, step.item, at) if step.item is not None else None
    if tones is not None and not because.strip():
        raise Refused(f"{words(step)} does not begin: {tones}")
    key = step.item.calibration if step.item is not None else ""
    why = lines_up(shelf, key, at)
    if why is not None and not (because.strip() and ready_to_play(shelf, shelf.reel(key), at) is None):
        raise Refused(f"{words(step)} does not begin: {key} may not be played: {why}")


def deck_awaits(shelf: Shelf, step: Step, at: datetime, because: str) -> None:
    """Nothing begins on a deck on which something runs; for a reason where a tape lies on both its reels.

    So where the one that is to play does, and where the path is to be wiped, which is done behind that.
    """
    deck = deck_of_step(step)
    deck_is_free(shelf, deck, at, step.subject)
    lies = in_the_way(shelf, step, at)
    path = path_before(shelf, deck, step.subject, at)
    awaited = [f"{lies.says} ({lies.told_by})"] if lies is not None else []
    if path is not None:
        awaited.append(f"{path.says} ({path.told_by})")
    if awaited and not because.strip():
        raise Refused(f"{words(step)} does not begin: {'; then '.join(awaited)}")


def in_the_way(shelf: Shelf, step: Step, at: datetime) -> LeftLying | None:
    """The tape that lies on the deck of that step as it begins, or the step's own on both its reels.

    None where nothing does; a slow wind that was stopped is no reason against winding on.
    """
    deck = deck_of_step(step)
    lies = left_on(shelf, deck, step.subject, at) if deck else None
    on = lies is not None and bool(lies.wind) and (step.kind, step.subject) == (WIND, lies.reel)
    return None if on else lies


def deck_of_step(step: Step) -> str:
    """The deck on which that step runs a tape; empty where it runs none."""
    if step.kind == "align":
        return step.subject
    return step.item.deck if step.item is not None and step.kind in ON_A_DECK else ""


def _something_to_verify(shelf: Shelf, step: Step) -> None:
    if step.kind == "verify" and not shelf.reel(step.subject).past("transferred"):
        raise Refused(f"{step.subject} is not transferred yet: there is nothing to verify")


def _refuse_struck(step: Step) -> None:
    if step.state == "struck":
        raise Refused(f"{words(step)} must not be done any more: {step.because}")


def finish_step(shelf: Shelf, step: Step, at: datetime, because: str = "") -> Shelf:
    """The shelf with that step done, and what it did: a stage, a deck's set-up, a load, a turn."""
    _refuse_struck(step)
    if step.state == "done":
        raise Refused(f"{words(step)} is done already")
    _touched_already(shelf, step)
    _something_inside(shelf, step)
    _something_to_verify(shelf, step)
    doubt = line_up_doubted(shelf, step, at) if step.kind == "align" else None
    if doubt is not None and not because.strip():
        raise Refused(f"{words(step)} is not done: {doubt} (--because says why all the same)")
    if step.kind in ("turn", "take out") and not step.urgent:
        not_before_it_went_in(shelf, step.reels, at)
    began = step.started or step.planned.start
    done = with_entry(shelf, step.key, _taken(shelf, step, state="done", started=began, finished=at))
    return _does(done, step, at, because)


def _touched_already(shelf: Shelf, step: Step) -> None:
    """Two doors may tell of one touch: the second would log the next one."""
    logged = taken(shelf).get(step.key) if step.touch and step.kind != "load" else None
    if logged is not None and logged.state == "done":
        at = logged.finished or logged.planned[0]
        told = f"{step.planned.start:%H:%M} was logged at {at.astimezone(step.planned.start.tzinfo):%H:%M}"
        raise Refused(f"{words(step)}: that of {told} already")


def _something_inside(shelf: Shelf, step: Step) -> None:
    """A turn or a take-out of a planned load that never began: its tapes lie on the shelf."""
    load = step.item if step.kind in ("turn", "take out") and not step.urgent else None
    if load is None or load.kind != "condition" or not load.reels:
        return
    inside = any(key in shelf.reels and shelf.reels[key].chamber == step.subject for key in load.reels)
    if not inside and begun_with_some(shelf, step.subject, load.reels, load.start) is None:
        named = f"{day_text(load.start.date())} {load.start:%H:%M}"
        lying = left_inside(shelf)
        if any(key in lying for key in load.reels):
            raise Refused(f"{words(step)}: the load of {named} was broken off: let it go on, or take it out")
        raise Refused(f"{words(step)}: the load of {named} was not begun: tell that first, if it was")


def over_without_a_start(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    """The shelf with that step over, what it does being done already; it may have no start."""
    return with_entry(shelf, step.key, _taken(shelf, step, state="done", started=step.started, finished=at))


def skip_step(shelf: Shelf, step: Step, at: datetime, because: str, *, tonight: bool = False) -> Shelf:
    """The shelf with that step left out, for that reason; ``tonight``: not to be planned again tonight."""
    if step.state == "done":
        raise Refused(f"{words(step)} is done already: undo it instead")
    left = _taken(shelf, step, state="skipped", started=step.started, finished=at, because=because)
    return with_entry(shelf, step.key, replace(left, not_tonight=tonight))


def repeat_step(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    """The shelf with that step running once more; what the first time wrote stays in the history."""
    deck_awaits(shelf, step, at, "")
    again = replace(step, state="waiting", started=None, finished=None)
    if step.kind == "transfer" and step.state == "done":
        numbers = transfer_named(shelf, shelf.reel(step.subject), part_of(step)).numbers
        shelf = lay_aside(shelf, step.subject, "played once more", numbers)
    begun = _taken(shelf, again, state="running", started=at)
    return with_entry(shelf, f"{step.key} again {write_time(at)}", begun)


def words(step: Step) -> str:
    """The step in a few words."""
    if step.touch:
        return f"{step.kind} chamber {step.subject}"
    if step.kind == "align":
        return f"line up {step.subject}" + (f" to {step.item.setup_told}" if step.item else "")
    part = f", part {part_of(step)}" if part_of(step) else ""
    return f"{step.kind} {step.subject}{part}"


def line_up_doubted(shelf: Shelf, step: Step, at: datetime) -> str | None:
    """Why a line-up made with its calibration reel does not count without a reason; None where it does."""
    tape = shelf.reels.get(step.item.calibration) if step.item is not None else None
    why = advice_of(shelf, tape, at).barred_by if tape is not None else None
    if tape is None or why is None:
        return None
    return f"{tape.key} may not run, {why}: clean heads and guides, and line up with another"


def too_soon(step: Step, at: datetime) -> str | None:
    """That a turn or a take-out is logged long before its time; None for one in time, or for an alarm."""
    if step.kind not in ("turn", "take out") or step.urgent:
        return None
    out = step.kind == "take out"
    early = early_by(step.planned.start, at, out=out)
    means = NOT_TREATED if out else ""
    return None if early is None else f"due at {step.planned.start:%H:%M}, in {hours_text(early)}{means}"


def late_minutes(step: Step, at: datetime) -> int:
    """Whole minutes by which a touch comes later than its moment."""
    return max(0, int(minutes_between(step.planned.start, at)))


def _does(shelf: Shelf, step: Step, at: datetime, because: str) -> Shelf:
    if step.kind == "align":
        return _lined_up(shelf, step, at)
    if step.kind == "load":
        if all(shelf.reel(key).chamber == step.subject for key in step.reels):
            return shelf  # it began when the step was started
        return load(shelf, step.subject, step.reels, step.started or at, because, step.planned.start)
    if step.kind == "turn":
        return _turned(shelf, step, at)
    if step.kind == "take out":
        return _took_out(shelf, step, at)
    if step.kind == "repair":
        return repaired(shelf, step.subject)
    if step.kind == WIND:
        return shelf.with_reel(replace(shelf.reel(step.subject), wind="heads"))
    if step.kind == "audition":
        reel = shelf.reel(step.subject)
        return shelf.with_reel(replace(reel, heard=reel.heard or at))
    stage = REACHES[step.kind]
    if step.kind == "identify" and stays_closed(shelf.reel(step.subject)):
        return shelf  # the look is over: what it found is mould, and the tape stays as it was found
    if shelf.reel(step.subject).stage == stage or _other_parts_wait(shelf, step):
        return shelf
    return mark(shelf, step.subject, stage, at, because)


def part_of(step: Step) -> str:
    """The part of a tape that the step is about; empty for the whole tape."""
    return step.item.segment if step.item is not None else ""


def _other_parts_wait(shelf: Shelf, step: Step) -> bool:
    """True where the tape has other parts still to be played: it is transferred when all of them are."""
    if step.kind != "transfer":
        return False
    every = transfers(shelf, shelf.reel(step.subject))
    return any(one.left and one.name != part_of(step) for one in every)


def _lined_up(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    """The deck stands on the step's set-up; every waiting reel of that set-up is aligned."""
    deck = shelf.studio.deck(step.subject)
    setup = _setup_of(shelf, step)
    return shelf if deck is None or setup is None else line_up(shelf, deck, setup, at)


def _setup_of(shelf: Shelf, step: Step) -> Setup | None:
    """The set-up of a line-up step, found again among the reels whose words it was planned from."""
    wanted = dict(step.item.setup) if step.item is not None else {}
    setups = (one.reel.setup for reel in shelf.reels.values() for one in to_play(shelf, reel))
    return next((setup for setup in setups if setup.words() == wanted), None)


def _took_out(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    """Those reels out, and the touch in the load's log; treated where their hours are up, for no reason else.

    What is taken out at an alarm is no touch: nothing of the rest was turned.
    """
    lying = left_inside(shelf)
    there = [shelf.reel(key) for key in step.reels]
    inside = [
        reel
        for reel in there
        if reel.chamber == step.subject or _lies_in(shelf, lying, reel.key, step.subject)
    ]
    after = shelf if step.urgent else _turned(shelf, step, at)
    for reel in inside:
        after = take_out(after, reel.key, at)
    return after


def _lies_in(shelf: Shelf, lying: Mapping[str, str], key: str, chamber: str) -> bool:
    """True for a reel that lies in that chamber, which is off since its load was broken off."""
    return key in lying and loads_of(shelf)[lying[key]].chamber == chamber


def _turned(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    """The load's log with that touch, and by how much it was late; begun for a load that was imported."""
    key = running_load(shelf, step.subject)
    if key is None:
        return shelf
    begun = changed_load(shelf, key, lambda log: log)
    record = begun.of_kind("load")[key]
    late = late_minutes(step, at)
    touch: dict[str, object] = {
        "do": step.kind,
        "planned": write_time(step.planned.start),
        "at": write_time(at),
    }
    touch |= {"late_minutes": late, "within_tolerance": late <= figure("heat.touch_late_minutes")}
    touches = [*record.get("touches", []), touch]
    return begun.with_record("load", key, {**record, "touches": touches})


def _taken(
    shelf: Shelf,
    step: Step,
    *,
    state: TakenState,
    started: datetime | None = None,
    finished: datetime | None = None,
    because: str = "",
) -> StepTaken:
    """The step as it is kept, with what of the planned item it takes to finish it after a restart."""
    planned = step.planned.start, step.planned.end
    told = StepTaken(
        step.kind, step.subject, planned, state, step.reels,
        started=started, finished=finished, because=because,
    )  # fmt: skip
    item = step.item
    if step.kind == "repair" and step.subject in shelf.reels:
        return replace(told, joints=shelf.reel(step.subject).splices or 0)
    tape = shelf.reels.get(step.subject if item is None else item.calibration or step.subject)
    unseen = state == "running" and tape is not None and inspect_first(tape)
    if item is not None and step.kind == "align":
        made = replace(told, setup=dict(item.setup), full=item.full, calibration=item.calibration, by=item.by)
        return replace(made, unseen=unseen)
    if item is not None and step.kind in ON_A_DECK:
        return replace(told, deck=item.deck, passes=item.passes, segment=item.segment, unseen=unseen)
    return told


#: Steps that want one person's hands or ears from their beginning to their end.
_HANDS_ON = ("identify", "repair", "audition", "align", "verify")


def runs_still(step: Step, steps: Iterable[Step]) -> str:
    """That another hands-on step was begun and not ended, as one begins; empty where none was."""
    open_ones = [one for one in steps if one.state == "running" and one.kind in _HANDS_ON]
    others = [words(one) for one in open_ones if one.key != step.key]
    if not others or step.touch:
        return ""
    return f"{listed(others)} {'run' if len(others) > 1 else 'runs'} still"
