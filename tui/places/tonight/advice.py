"""What is said beside the step: before a pass starts, between passes, and while the tape runs."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from pathlib import Path

from core.clock import clock_text, later, minutes_between
from core.conditioning.base_look import looks_asked
from core.conditioning.loads.trial import trial_short
from core.evening.around.stop_early import broken_off
from core.evening.around.tight_end import risk_words
from core.evening.playing.left_lying import on_two_reels
from core.evening.playing.lying import ONTO_ONE
from core.evening.playing.open_joint import open_joint, open_squeal
from core.evening.playing.passes import TapePass
from core.evening.tonight.before_pass import PassAdvice, before_pass
from core.evening.tonight.hours_asked import deck_rests
from core.evening.tonight.sheet import OFFERED, PLAYS, WIND, RunSheet, Step
from core.evening.tonight.slow_wind import wind_words
from core.evening.tonight.steps import in_the_way
from core.evening.tonight.transfer import done_passes, open_pass, wanted_passes, will_run
from core.shelf import Shelf
from core.standing.proof import unproved
from tui.keys.words import keyed


def room_for_captures(shelf: Shelf) -> int | None:
    """Free bytes where captures go; None where no folder is named or it is not there now."""
    folder = shelf.studio.capture.folder if shelf.studio.capture else ""
    if not folder:
        return None
    try:
        return shutil.disk_usage(Path(folder).expanduser()).free
    except OSError:
        return None


def before(shelf: Shelf, sheet: RunSheet, step: Step, now: datetime, free: int | None) -> PassAdvice | None:
    """Advice on playing that step's tape from now on; None where no tape is played."""
    if step.kind not in PLAYS:
        return None
    return before_pass(shelf, sheet, step.subject, now, free, will_run(shelf, step, now))


def beside(
    shelf: Shelf,
    sheet: RunSheet,
    step: Step | None,
    now: datetime,
    free: int | None,
    own: Mapping[str, str] | None = None,
) -> tuple[str, ...]:
    """The lines beside the current step; ``own`` are the owner's keys."""
    if step is not None and step.kind == "load" and step.state == "waiting":
        return _before_heat(shelf, step)
    lies = in_the_way(shelf, step, now) if step is not None and step.state == "waiting" else None
    if lies is not None and step is not None:
        first = f"{lies.reel} is {lies.done} first"
        return (f"! {first}: {lies.says}", *_beside_free(shelf, sheet, step, now, free, own))
    return _beside_free(shelf, sheet, step, now, free, own)


def _beside_free(
    shelf: Shelf,
    sheet: RunSheet,
    step: Step | None,
    now: datetime,
    free: int | None,
    own: Mapping[str, str] | None,
) -> tuple[str, ...]:
    """The same for a step whose deck is free."""
    leave = keyed("{tonight.closing}: what to look at before you leave", own or {})
    if step is None and any(one.started for one in sheet.steps):
        return (leave,)
    if step is not None and step.state == OFFERED:
        first = _to_verify(shelf, step, own) if step.kind == "verify" else ()
        first = wind_words(shelf, step) if step.kind == WIND else first
        return (*first, *risk_words(step, sheet), leave)
    if step is not None and step.kind == "verify":
        return _to_verify(shelf, step, own)
    if step is not None and step.kind == WIND:
        return wind_words(shelf, step)
    if step is None or step.kind not in PLAYS:
        return ()
    if step.state == "waiting" or step.kind == "audition":
        return before_pass(shelf, sheet, step.subject, now, free, will_run(shelf, step, now)).says
    tape = open_pass(shelf, step, now)
    if tape is None:
        done, wanted = done_passes(shelf, step), wanted_passes(shelf, step)
        go = keyed("{tonight.go}", own or {})
        return (f"{done} of {wanted} passes done: {go} {'plays on' if done < wanted else 'ends it'}",)
    if tape.state == "stopped" and open_squeal(shelf, tape.reel):
        ask = "wipe the heads with a dry swab: {tonight.resume} or {tonight.go} asks what it shows"
        return (keyed(ask, own or {}),)
    joint = open_joint(shelf, tape.reel) if tape.state == "stopped" else ""
    if joint:
        return (keyed(f"{joint}: mend it, then {{tonight.resume}} or {{tonight.go}} goes on", own or {}),)
    if tape.state == "stopped":
        rest, then = deck_rests(shelf, step, now), before_it_goes_on(tape.stopped_for)
        return (
            *([rest] if rest else []),
            keyed(f"{then}{{tonight.resume}} or {{tonight.go}} goes on", own or {}),
        )
    return _while_running(sheet, tape, now)


def before_it_goes_on(why: str) -> str:
    """What is done first after a stop for that reason; empty for one that asks for nothing."""
    if why == "splice":
        return "mend the joint, then "
    return "clean, then " if why in ("", "stopped", "clean heads", "squeal") else ""


def _before_heat(shelf: Shelf, step: Step) -> tuple[str, ...]:
    """What comes before these tapes are warmed: an empty run, one reel for each, a look at their bases."""
    says = [missing] if (missing := trial_short(shelf, step.subject)) else []
    apart = {key: on_two_reels(shelf, key) for key in step.reels}
    says += [f"{key} {told}: {ONTO_ONE}" for key, told in apart.items() if told]
    unseen = looks_asked(shelf, step.reels)
    says += [f"base not seen: {', '.join(unseen)}; look before its first heat"] if unseen else []
    return tuple(says)


def _to_verify(shelf: Shelf, step: Step, own: Mapping[str, str] | None) -> tuple[str, ...]:
    """What the gate to verified still wants, and the key by which files are checked and listened to."""
    reel = shelf.reels.get(step.subject)
    why = unproved(shelf, reel) if reel is not None and not reel.past("verified") else None
    if why is None:
        return ()
    told, _, then = why.partition(": ")
    if then.startswith("turn them"):
        turns = "{tonight.capture} {capture.turn} turns them; then check those"
        return (keyed(f"{told}: {turns}", own or {}),)
    told = told if "no check of its files" in why else why
    return (keyed(f"{told}: {{tonight.capture}} checks and listens", own or {}),)


def _while_running(sheet: RunSheet, tape: TapePass, now: datetime) -> tuple[str, ...]:
    if not tape.total:
        return ("how long it plays is not known: stay with it",)
    ends = tape.ends(now)
    cleans = next((at for at in tape.to_clean if at > tape.position), None)
    if cleans is not None:
        when = later(now, minutes=Fraction(round(cleans - tape.position), 60))
        return (f"stop and clean at {clock_text(int(cleans))} of the tape, {when:%H:%M}; ends {ends:%H:%M}",)
    said = f"ends {ends:%H:%M}" if tape.left else "its end is due"
    closes = next((span.end for span in sheet.bench if span.start <= now < span.end), None)
    if closes is not None and (short := broken_off(tape, now, closes)):
        said = f"stop it at {closes:%H:%M}, when the evening ends: {short} min before its end"
    elif sheet.bench and now >= sheet.bench[-1].end and broken_off(tape, now, now):
        said = f"the evening ended at {sheet.bench[-1].end:%H:%M}: stop it; {said}"
    touch = sheet.next_touch
    if touch is None:
        return (said,)
    spare = round(minutes_between(ends, touch.planned.start))
    if spare >= 0:
        return (f"{said}, {spare} min before the {touch.kind}",)
    return (f"{said}: {touch.kind} {-spare} min late",)
