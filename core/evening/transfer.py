"""A transfer step and its passes: what the one key does next, and what a mishap does to both."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Literal

from core.clock import write_time
from core.errors import Refused
from core.evening.passes import TapePass, end_pass, go_on, pass_key, passes_of, start_pass, stop_pass
from core.evening.runsheet import Step
from core.evening.steps import finish_step, skip_step, start_step, words
from core.gates import unmet
from core.reels.minutes import passes
from core.shelf import Shelf

Act = Literal["start", "start pass", "go on", "end pass", "finish"]
_STAGES = {"identify": "identified", "transfer": "transferred", "verify": "verified"}


def open_pass(shelf: Shelf, reel: str, now: datetime) -> TapePass | None:
    """The pass of that reel that is running, or stopped and to be gone on with."""
    mine = passes_of(shelf, now, reel)
    return next((one for one in mine if one.state == "running"), None) or next(
        (one for one in mine if one.state == "stopped"), None
    )


def wanted_passes(shelf: Shelf, step: Step) -> int:
    """How many passes the step takes: as planned, else by the reel's tracks and the recorder's inputs."""
    if step.item is not None and step.item.passes:
        return step.item.passes
    return passes(shelf.reel(step.subject).tracks or 1, shelf.studio)


def done_passes(shelf: Shelf, step: Step) -> int:
    """How many whole passes are done; for a repeated step only those since it began again."""
    again = " again " in step.key and step.started is not None
    count = 0
    for record in shelf.of_kind("pass").values():
        if record["reel"] != step.subject or record["state"] != "done" or record.get("span"):
            continue
        ended = datetime.fromisoformat(record["pieces"][-1]["stopped"])
        count += not again or (step.started is not None and ended >= step.started)
    return count


def next_act(shelf: Shelf, step: Step, now: datetime) -> Act:
    """What the one key does to that step; Refused where it is done already."""
    if step.state == "done":
        raise Refused(f"{words(step)} is done already")
    if step.state != "running":
        return "start"
    if step.kind != "transfer":
        return "finish"
    tape = open_pass(shelf, step.subject, now)
    left = wanted_passes(shelf, step) - done_passes(shelf, step)
    if tape is None:
        return "start pass" if left > 0 else "finish"
    if tape.state == "stopped":
        return "go on"
    return "finish" if left <= 1 or tape.span else "end pass"


def press(shelf: Shelf, step: Step, at: datetime, because: str = "") -> Shelf:
    """The shelf after the one key: a step started or finished, a pass started, gone on with or ended."""
    what = next_act(shelf, step, at)
    if what == "start":
        started = start_step(shelf, step, at)
        return _tape_runs(started, step, at) if step.kind == "transfer" else started
    if what in ("start pass", "go on"):
        return _tape_runs(shelf, step, at)
    if what == "end pass":
        return _tape_ends(shelf, step, at)
    return finish(shelf, step, at, because)


def finish(shelf: Shelf, step: Step, at: datetime, because: str = "") -> Shelf:
    """The shelf with the step and its pass done; a tape of which one span was played is not transferred."""
    tape = open_pass(shelf, step.subject, at) if step.kind == "transfer" else None
    ended = _tape_ends(shelf, step, at)
    if tape is not None and tape.span is not None:
        why = shelf.of_kind("pass")[pass_key(tape.reel, tape.number)].get("because", "")
        return skip_step(ended, step, at, f"one span only: {why}")
    return finish_step(ended, step, at, because)


def start_span(shelf: Shelf, step: Step, at: datetime, span: str, because: str) -> Shelf:
    """The shelf with the step running over one span of the tape only, for a reason."""
    started = shelf if step.state == "running" else start_step(shelf, step, at)
    number = 1 + max((one.number for one in passes_of(shelf, at, step.subject)), default=0)
    return start_pass(started, step.subject, number, at, span=span, because=because)


def by_paper(
    shelf: Shelf, step: Step, started: datetime | None, finished: datetime, because: str = ""
) -> Shelf:
    """The shelf with a step that was done by paper, with its real times."""
    if started is not None and started > finished:
        raise Refused("it ends before it begins")
    told = replace(step, started=started or step.started)
    return finish(shelf, told, finished, because)


def gate(shelf: Shelf, step: Step, at: datetime) -> str | None:
    """Why finishing that step does not reach its stage without a reason; None if it does."""
    stage = _STAGES.get(step.kind)
    if stage is None:
        return None
    reel = shelf.reel(step.subject)
    return None if reel.past(stage) else unmet(shelf, reel, stage, at)


def halt(shelf: Shelf, reel: str, at: datetime, why: str, *, step_too: bool = True) -> Shelf:
    """The shelf with nothing running on that reel any more: its pass stands where it is, its step is left."""
    for one in passes_of(shelf, at, reel):
        if one.state == "running":
            shelf = stop_pass(shelf, pass_key(reel, one.number), at, why)
    for key, record in shelf.of_kind("actual").items() if step_too else ():
        if record["subject"] == reel and record["state"] == "running":
            left = {**record, "state": "skipped", "finished": write_time(at), "because": why}
            shelf = shelf.with_record("actual", key, left)
    return shelf


def _tape_runs(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    tape = open_pass(shelf, step.subject, at)
    if tape is not None and tape.state == "stopped":
        return go_on(shelf, pass_key(step.subject, tape.number), at)
    number = 1 + max((one.number for one in passes_of(shelf, at, step.subject)), default=0)
    return start_pass(shelf, step.subject, number, at)


def _tape_ends(shelf: Shelf, step: Step, at: datetime) -> Shelf:
    tape = open_pass(shelf, step.subject, at) if step.kind == "transfer" else None
    return shelf if tape is None else end_pass(shelf, pass_key(step.subject, tape.number), at)
