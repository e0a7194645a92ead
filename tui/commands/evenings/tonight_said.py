"""What is said at the command before tonight's list, as a step begins, and as it ends."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, cast

from core.errors import Refused, Unusable

if TYPE_CHECKING:
    from core.evening.answers import Cause
    from core.evening.playing.when import When
    from core.evening.tonight.sheet import RunSheet, Step
    from core.shelf import Shelf
    from core.workbook.workbook import Workbook

#: What a dry swab may show behind a squeal, as it is told at the command.
HEADS = {"gum": "binder", "powder": "lubricant", "nothing": "clean"}


def told_before(shelf: Shelf, key: str, at: datetime) -> tuple[str, ...]:
    """What must be heard as that tape begins: to be tried by hand, joints not remade, warmth it lacks."""
    from core.clock import later
    from core.conditioning.advisor import advice_of
    from core.conditioning.hours_had import short_hours
    from core.conditioning.spreading.shared_air import to_be_looked_at
    from core.conditioning.tell import test_words
    from core.evening.playing.again import alarm
    from core.evening.playing.open_joint import unmended
    from core.evening.tonight.before_pass import lapses_before
    from core.reels.length import play_seconds

    reel = shelf.reel(key)
    lacked, loud = short_hours(shelf, reel), alarm(shelf, reel)
    short = f"it {lacked.says}: look at the outermost turns before it runs" if lacked is not None else ""
    test, air = test_words(advice_of(shelf, reel, at)), to_be_looked_at(shelf, reel)
    seconds = play_seconds(reel, shelf.studio)
    lapses = lapses_before(shelf, reel, later(at, minutes=seconds / 60)) if seconds is not None else ""
    told = [f"{key}: {one}" for one in (test, unmended(shelf, reel), short, air, lapses) if one]
    return (*told, *([f"! {loud}"] if loud else []))


def told_at_the_start(
    workbook: Workbook, sheet: RunSheet, step: Step, at: datetime, *, backwards: bool = False
) -> tuple[str, ...]:
    """The deck rests, is loud past its hours or not lined up to the tape; it is to be wound; what runs still.

    Of a look or a repair first how a tape is handled that may have mould; a repair beside what is warm.
    """
    from dataclasses import replace

    from core.conditioning.spreading.handled import OPENED, handled
    from core.evening.asked_first import warm_at_step
    from core.evening.tonight.hours_asked import deck_rests, lacks_line_up, outside_hours
    from core.evening.tonight.slow_wind import not_wound
    from core.evening.tonight.steps import runs_still

    shelf = workbook.shelf
    why, still = lacks_line_up(shelf, step, at), runs_still(step, sheet.steps)
    lies = "" if backwards else not_wound(shelf, step)
    wound = f"{lies}: was it wound?" if lies else ""
    care = handled(shelf, step.subject) if step.kind in OPENED else ""
    dry = warm_at_step(shelf, workbook.plans.kept_plan(), replace(step, started=at), at)
    hours = (one.says for one in outside_hours(shelf, step, at) if one.hours in ("loud", "helper"))
    told = (
        f"! {care}" if care else "",
        f"! {dry}" if dry else "",
        deck_rests(shelf, step, at),
        *hours,
        f"{step.subject}: {why}" if why else "",
        wound,
        still,
    )
    return tuple(one for one in told if one)


def say_at_the_end(shelf: Shelf, sheet: RunSheet, step: Step, at: datetime) -> None:
    """What is to be done before the next pass; of a line-up what its sheet leaves."""
    from core.evening.tonight.steps import words
    from core.lineup.on_shelf import still_off
    from core.reels.needs import inspect_first
    from tui.said import say
    from tui.text.run_sheet import between_passes

    left = next((one for one in sheet.steps if one.key == step.key), step)
    off = still_off(shelf, step.subject, at) if step.kind == "align" else ""
    tape = shelf.reels.get(step.subject) if step.kind == "identify" else None
    if tape is not None and inspect_first(tape):
        tells = f"reelturn set {tape.key} condition=..."
        say(f"{words(step)}: its condition is not told, so the look is planned again: {tells} tells it")
    for line in (*between_passes(shelf, left, at), *([f"its sheet: {off}"] if off else [])):
        say(f"{words(step)}: {line}")


def told_first(workbook: Workbook, sheet: RunSheet) -> list[str]:
    """What comes before the list: alarms, steps that nobody marked on earlier evenings, a stale plan."""
    from core.conditioning.loads.trial import empty_run_on
    from core.evening.afterwards.catch_up import never_began, unmarked
    from core.evening.afterwards.unmarked_words import unmarked_words
    from core.evening.around.loud import loud
    from core.standing.of_plan.still import left_of_plan
    from tui.board.chamber import untold_steps

    shelf, now = workbook.shelf, workbook.now().astimezone(workbook.shelf.studio.zone)
    touches = untold_steps(shelf, now)
    late, stale = unmarked(shelf, workbook.plans.kept_plan(), now, touches), workbook.plans.plan_is_stale()
    first = [f"! {one}" for one in loud(shelf, sheet, now)]
    kept = workbook.plans.kept_plan()
    left = left_of_plan(shelf, kept, now)[0] if kept is not None else None
    empty = empty_run_on(shelf, left, sheet.day, now)
    verb = [f"chamber {one.chamber} {'--read' if one.runs else '--empty-run'}" for one in empty]
    first += [f"! {one.words} (`{how}`)" for one, how in zip(empty, verb, strict=True)]
    return [*first, *([unmarked_words(late, never_began(late))] if late else []), *([stale] if stale else [])]


def stop_for_squeal(
    workbook: Workbook, key: str, when: When, because: str, heads: str | None, *, moved: bool
) -> None:
    """Stopped for a squeal, or told of one that stands: what lay on the heads, or that nobody has looked."""
    from core.evening.answers import squeal_says
    from core.evening.tonight.transfer import stopped_for_squeal
    from core.logbook.passes import played
    from tui.said import say

    reel, cause = played(workbook.shelf)[key].reel, cast("Cause", HEADS.get(heads or "", "not looked"))
    why, place = because or "squeal", when.place if when.told_by == "tape" else None
    workbook.change(
        lambda s: stopped_for_squeal(s, key, when.moment, why, cause, place, moved=moved),
        what=f"stop pass {key}",
        at=when.moment,
    )
    say(squeal_says(workbook.shelf, reel, cause, when.moment))
    if heads is None:
        told = f"WHAT is {', '.join(HEADS)}"
        say(f"wipe the heads with a dry swab, then tell: reelturn tonight stop --heads WHAT; {told}")


def stop_for_joint(workbook: Workbook, key: str, when: When, *, moved: bool) -> None:
    """Stopped since a joint let go, or told of one that stands: it is remade before the tape runs on."""
    from core.evening.playing.open_joint import unmended
    from core.evening.tonight.transfer import stopped_for_joint
    from core.logbook.passes import played
    from tui.said import say

    reel, place = played(workbook.shelf)[key].reel, when.place if when.told_by == "tape" else None
    workbook.change(
        lambda s: stopped_for_joint(s, key, when.moment, "splice", place, moved=moved),
        what=f"stop pass {key}",
        at=when.moment,
    )
    told = unmended(workbook.shelf, workbook.shelf.reel(reel))
    say(f"{reel}: {told}: mend it before it runs on")


def note_on_what_runs(workbook: Workbook, text: str, at: datetime) -> None:
    """Keeps the words in the history of the tape of the hearing, the line-up or the wind that runs."""
    from core.logbook.running import line_ups_running, winds_running
    from tui.said import say

    shelf, now = workbook.shelf, workbook.now()
    ran = [one.reel for one in (*line_ups_running(shelf, now), *winds_running(shelf, now)) if one.reel]
    if not ran:
        raise Refused("no tape is running")
    if not text.strip():
        raise Unusable("tonight note: say what is seen or heard: no pass runs that has a place to mark")
    workbook.note(ran[0], text.strip(), at)
    say(f"noted on {ran[0]}")
