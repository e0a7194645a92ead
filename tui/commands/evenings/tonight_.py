"""Tonight's steps, and what happened to one of them: begun, ended, stopped, gone on with, noted, left out."""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from core.errors import Refused, Unusable
from tui.commands.command import add_json, opened, print_json, print_lines
from tui.commands.evenings.tonight_refused import (
    refuse_dirty_path,
    refuse_in_doubt,
    refuse_late,
    refuse_offered,
    refuse_out_of_turn,
    refuse_unlooked,
    refuse_untried,
)
from tui.commands.evenings.tonight_said import HEADS

if TYPE_CHECKING:
    from collections.abc import Callable

    from core.evening.playing.when import When
    from core.evening.tonight.sheet import RunSheet, Step
    from core.logbook.passes import PlayedPass
    from core.shelf import Shelf
    from core.workbook.workbook import Workbook

ACTS = ("begin", "end", "stop", "go-on", "note", "skip", "wiped", "wound", "lifted", "looked", "ran", "lay")


def arguments(parser: argparse.ArgumentParser) -> None:
    """What stands after the verb."""
    parser.add_argument("act", nargs="?", choices=ACTS, metavar="ACT", help=f"one of {', '.join(ACTS)}")
    parser.add_argument(
        "words", nargs="*", metavar="STEP or TEXT",
        help="the step by its number in the list; for note: its kind and words; "
        "for wiped: deck or chamber; for wound, lifted and looked: the reel; for ran: reel and deck",
    )  # fmt: skip
    parser.add_argument(
        "--at", metavar="TIME",
        help="a time of this evening such as 20:07, or a place on the tape such as 12:30; else now",
    )  # fmt: skip
    parser.add_argument(
        "--because", default="", metavar="TEXT", help="why, where a reason is asked or wanted"
    )
    parser.add_argument(
        "--backwards", action="store_true", help="with begin: the tape runs from its tail, as it lies"
    )
    parser.add_argument(
        "--heads", choices=HEADS, metavar="WHAT",
        help=f"with stop, for a squeal: what a dry swab showed on the heads, one of {', '.join(HEADS)}",
    )  # fmt: skip
    add_json(parser)


def tells_alarms(given: argparse.Namespace) -> bool:
    """True: the alarms stand above the list."""
    return not given.json


def run(given: argparse.Namespace) -> int:
    """Does one thing to tonight's steps, then lists them."""
    if not given.act and (given.at is not None or given.because or given.backwards):
        raise Unusable(f"tonight: say what happened: one of {', '.join(ACTS)}, and which step")
    workbook = opened(given)
    if given.act:
        _act(workbook, given)
    sheet = sheet_of(workbook)
    if given.json:
        print_json([_told(sheet.numbers[step.key], step) for step in sheet.steps])
    else:
        from tui.commands.evenings.tonight_said import told_first
        from tui.text.run_sheet import run_sheet_lines

        now = workbook.now().astimezone(workbook.shelf.studio.zone)
        rows = run_sheet_lines(workbook.shelf, workbook.plans.kept_plan(), sheet, now)
        print_lines([*told_first(workbook, sheet), *rows])
    return 0


def sheet_of(workbook: Workbook) -> RunSheet:
    """The evening's run sheet as it is now."""
    from core.evening.around.tight_end import with_offers
    from core.evening.tonight.runsheet import run_sheet
    from tui.board.chamber import coming_steps

    now = workbook.now().astimezone(workbook.shelf.studio.zone)
    shelf, plan = workbook.shelf, workbook.plans.kept_plan()
    return with_offers(run_sheet(shelf, plan, now, coming_steps(shelf, now)), shelf, plan, now)


def _act(workbook: Workbook, given: argparse.Namespace) -> None:
    from core.evening.playing.passes import drop_note, stop_pass, stopped_before
    from core.evening.tonight.steps import words
    from core.evening.tonight.transfer import leave_out
    from core.logbook.passes import for_a_squeal
    from tui.commands.evenings.tonight_said import stop_for_joint, stop_for_squeal

    if given.act in ("begin", "end", "skip"):
        step = _step(sheet_of(workbook), given.words or _what_runs(workbook, given.act))
        if given.act == "skip":
            refuse_offered(step)
            if not given.because.strip():
                raise Refused(f"{words(step)}: leaving it out takes a reason (--because)")
            _change(workbook, lambda s, at: leave_out(s, step, at, given.because), given, None, step)
        else:
            _begin_or_end(workbook, given, step)
        return
    told = {"wiped": _wiped, "ran": _ran, "lay": _ran}
    told |= dict.fromkeys(("wound", "lifted", "looked"), _of_a_reel)
    if given.act in told:
        told[given.act](workbook, given)
        return
    if given.act in ("stop", "note") and _only_a_line_up(workbook):
        _at_a_line_up(workbook, given)
        return
    key, tape = _pass(workbook, "stopped" if given.act == "go-on" else "")
    when = _when(workbook, given.at, None if given.act == "go-on" else tape)
    place = when.place if when.told_by == "tape" else None
    why, running = given.because or "stopped", tape.state == "running"
    if given.act == "stop" and running and given.at is None:
        refuse_late(workbook, key)
    if given.act == "stop" and (for_a_squeal(why) or given.heads):
        stop_for_squeal(workbook, key, when, given.because, given.heads, moved=given.at is not None)
    elif given.act == "stop" and why == "splice":
        stop_for_joint(workbook, key, when, moved=given.at is not None)
    elif given.act == "stop" and running:
        workbook.change(lambda s: stop_pass(s, key, when.moment, why, place), what=f"stop pass {key}")
    elif given.act == "stop":
        workbook.change(lambda s: stopped_before(s, key, when.moment, place), what=f"stop pass {key}")
    elif given.act == "go-on":
        _go_on(workbook, key, tape, when.moment, given.because)
    else:
        from core.evening.afterwards.by_paper import kind_and_words

        kind, said = kind_and_words(" ".join(given.words))
        workbook.change(
            lambda s: drop_note(s, key, when.moment, kind, said, place), what=f"note on pass {key}"
        )


def _at_a_line_up(workbook: Workbook, given: argparse.Namespace) -> None:
    """A line-up, a first hearing or a wind is stopped, or something is noted on its tape."""
    from core.evening.tonight.transfer import stop_line_up
    from tui.commands.evenings.tonight_said import note_on_what_runs

    at, why = _when(workbook, given.at, None).moment, given.because or "stopped"
    if given.act == "note":
        note_on_what_runs(workbook, " ".join(given.words), at)
    else:
        workbook.change(lambda s: stop_line_up(s, at, why), what="stop the line-up", at=at, because=why)


def _go_on(workbook: Workbook, key: str, tape: PlayedPass, at: datetime, because: str) -> None:
    from core.evening.tonight.transfer import runs_on
    from tui.commands.evenings.tonight_said import told_at_the_start, told_before
    from tui.said import say

    refuse_dirty_path(workbook.shelf, tape.reel, because, at)
    told, sheet = told_before(workbook.shelf, tape.reel, workbook.now()), sheet_of(workbook)
    step = sheet.transfer_begun(tape.reel)
    told += told_at_the_start(workbook, sheet, step, at) if step is not None else ()
    what = f"go on with pass {key}"
    workbook.change(lambda s: runs_on(s, key, at, because), what=what, at=at, because=because)
    for line in told:
        say(line)


def _of_a_reel(workbook: Workbook, given: argparse.Namespace) -> None:
    """A tape was wound back, or lifted off as it stands; or looked at after it ran over a path with mould."""
    from core.conditioning.spreading.shared_air import looked_after
    from core.evening.playing.left_lying import lifted_off, wound_back

    reel, at = " ".join(given.words).strip(), _when(workbook, given.at, None).moment
    if given.act == "wound":
        workbook.change(lambda s: wound_back(s, reel), what=f"{reel} wound back", at=at)
    elif given.act == "lifted":
        workbook.change(lambda s: lifted_off(s, reel), what=f"{reel} lifted off", at=at)
    else:
        workbook.change(lambda s: looked_after(s, reel, at), what=f"{reel} looked at", at=at)


def _ran(workbook: Workbook, given: argparse.Namespace) -> None:
    """That a tape ran on a deck, or lay warm in a chamber, told afterwards."""
    from core.conditioning.base_look import warmed_against_base
    from core.evening.playing.told_afterwards import lay_in, ran_on
    from tui.said import say

    ran = given.act == "ran"
    if len(given.words) != 2:
        where, example = ("deck", "ran R-001 D1") if ran else ("chamber", "lay R-001 C1")
        asked = f"which reel, and which {where}: reelturn tonight {example} --at 20:07"
        raise Unusable(f"tonight {given.act}: {asked}")
    (reel, place), now = given.words, workbook.now()
    at = _when(workbook, given.at, None).moment
    what = f"{reel} {'ran on' if ran else 'lay in'} {place}"
    act = ran_on if ran else lay_in
    workbook.change(lambda s: act(s, reel, place, at, now, given.because), what=what, at=at)
    against = "" if ran else warmed_against_base(workbook.shelf, workbook.shelf.reel(reel))
    if against:
        say(f"{reel} {against}")


def _wiped(workbook: Workbook, given: argparse.Namespace) -> None:
    """A deck's path, or a chamber, was wiped; Refused for one that the studio does not have."""
    from core.evening.playing.left_lying import wiped_bare

    studio, deck = workbook.shelf.studio, " ".join(given.words).strip()
    known = [*(one.id for one in studio.decks), *(one.id for one in studio.chambers)]
    if deck not in known:
        raise Refused(f"no deck or chamber {deck!r} in this studio: one of {', '.join(known)}")
    at = _when(workbook, given.at, None).moment
    workbook.change(lambda s: wiped_bare(s, deck, at), what=f"wiped {deck}", at=at)


def _only_a_line_up(workbook: Workbook) -> bool:
    """True while a line-up, a first hearing or a wind runs and no pass does."""
    from core.evening.playing.passes import running_pass
    from core.logbook.running import line_ups_running, winds_running

    shelf, now = workbook.shelf, workbook.now()
    runs = line_ups_running(shelf, now) or winds_running(shelf, now)
    return running_pass(shelf, now) is None and bool(runs)


def _begin_or_end(workbook: Workbook, given: argparse.Namespace, step: Step) -> None:
    from dataclasses import replace

    from core.evening.around.told_of_load import told_of_load
    from core.evening.tonight.steps import finish_step, tape_of, too_soon, words
    from core.evening.tonight.transfer import next_act, press
    from core.logbook.passes import pass_key
    from tui.commands.evenings.tonight_said import say_at_the_end, told_at_the_start, told_before
    from tui.said import say

    if given.act == "end" and step.touch and step.state == "done":
        say(f"{words(step)} was logged whole when it began: nothing is left to end")
        return
    tape = _open_tape(workbook, step.subject) if step.kind == "transfer" else None
    act = next_act(workbook.shelf, step, workbook.now())
    refuse_out_of_turn(workbook, given, step, act)
    early = too_soon(step, _when(workbook, given.at, None).moment) if act == "start" else None
    if early is not None and not given.because.strip():
        raise Refused(f"{words(step)} is {early} (--because says why all the same)")

    def change(shelf: Shelf, at: datetime, place: float | None) -> Shelf:
        if step.kind in ("turn", "take out") and act == "start":
            return finish_step(shelf, replace(step, started=at), at, given.because)
        return press(shelf, step, at, given.because, place, backwards=given.backwards)

    tape_runs = tape_of(step) if act in ("start", "start pass") else ""
    if tape_runs or (step.kind == "repair" and act == "start"):
        refuse_unlooked(workbook.shelf, step, tape_runs or step.subject, given.because)
    if act == "start":
        refuse_in_doubt(workbook, step, tape_runs, given.because)
    if tape_runs and act == "start" and not given.because.strip():
        refuse_untried(workbook, step)
    if given.act == "end" and tape is not None and given.at is None:
        refuse_late(workbook, pass_key(tape.reel, tape.number))
    when = _when(workbook, given.at, tape if given.act == "end" else None)
    begins = act in ("start", "start pass", "go on")
    before, sheet, back = workbook.shelf, sheet_of(workbook), given.backwards
    told = told_before(before, tape_runs, workbook.now()) if tape_runs in before.reels else ()
    told += told_at_the_start(workbook, sheet, step, when.moment, backwards=back) if begins else ()
    place = when.place if when.told_by == "tape" else None
    what = f"{words(step)}: {given.act}"
    workbook.change(lambda s: change(s, when.moment, place), what=what, because=given.because, at=when.moment)
    if begins and step.kind == "load":
        told = told_of_load(before, workbook.shelf, step.subject, step.reels)
    for line in told:
        say(line)
    if given.act == "end":
        say_at_the_end(workbook.shelf, sheet_of(workbook), step, when.moment)


def _change(
    workbook: Workbook,
    act: Callable[[Shelf, datetime], Shelf],
    given: argparse.Namespace,
    tape: PlayedPass | None,
    step: Step,
) -> None:
    from core.evening.tonight.steps import words

    at = _when(workbook, given.at, tape).moment
    workbook.change(lambda s: act(s, at), what=f"{given.act} {words(step)}", because=given.because, at=at)


def _when(workbook: Workbook, text: str | None, tape: PlayedPass | None) -> When:
    from core.clock import evening_of
    from core.evening.playing.when import When, read_when

    now = workbook.now().astimezone(workbook.shelf.studio.zone)
    if text is None:
        return When(now)
    try:
        return read_when(text, evening_of(now), workbook.shelf.studio.zone, now, tape)
    except ValueError as error:
        raise Unusable(f"--at: {text!r} is not {error}") from None


def _what_runs(workbook: Workbook, act: str) -> list[str]:
    """The number of the one step that runs, where ``end`` names none."""
    sheet = sheet_of(workbook)
    runs = [step for step in sheet.steps if step.state == "running"]
    return [str(sheet.numbers[runs[0].key])] if act == "end" and len(runs) == 1 else []


def _step(sheet: RunSheet, typed: list[str]) -> Step:
    from core.evening.tonight.steps import words
    from core.words import listed
    from tui.text.run_sheet import line_words

    text = " ".join(typed).strip()
    numbered = {number: key for key, number in sheet.numbers.items()}
    if text.isdigit() and int(text) in numbered:
        return next(step for step in sheet.steps if step.key == numbered[int(text)])
    asked = text.casefold()
    named = [one for one in sheet.steps if asked in (words(one).casefold(), line_words(one).casefold())]
    open_ones = [step for step in named if step.state in ("waiting", "running")] or named
    if open_ones:
        return open_ones[0]
    begin = [one for one in sheet.steps if asked and line_words(one).casefold().startswith(asked)]
    if len(begin) == 1:
        return begin[0]
    several = f": one of {listed([line_words(one) for one in begin])}?" if begin else " tonight:"
    raise Refused(f"no step {text!r}{several} `reelturn tonight` lists them with their numbers")


def _pass(workbook: Workbook, wanted: str) -> tuple[str, PlayedPass]:
    from core.logbook.passes import played

    kept = [(key, one) for key, one in played(workbook.shelf).items() if not one.void]
    for state in (wanted,) if wanted else ("running", "stopped"):
        found = [pair for pair in kept if pair[1].state == state]
        if found:
            return max(found, key=lambda pair: pair[1].last.started)
    raise Refused("no tape stands stopped" if wanted else "no tape is running")


def _open_tape(workbook: Workbook, reel: str) -> PlayedPass | None:
    from core.logbook.passes import played_of

    return next((one for one in played_of(workbook.shelf, reel) if one.state != "done"), None)


def _told(number: int, step: Step) -> dict[str, object]:
    from core.clock import write_time

    def moment(at: datetime | None) -> str | None:
        return write_time(at) if at is not None else None

    return {
        "number": number, "kind": step.kind, "subject": step.subject, "state": step.state,
        "planned": [write_time(step.planned.start), write_time(step.planned.end)],
        "started": moment(step.started), "finished": moment(step.finished), "because": step.because,
        "fits": step.fits,
    }  # fmt: skip
