"""What the evening's command refuses before a step begins or ends, each in one line."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from core.errors import Refused

if TYPE_CHECKING:
    from datetime import datetime

    from core.evening.tonight.sheet import Step
    from core.shelf import Shelf
    from core.workbook.workbook import Workbook


def refuse_offered(step: Step) -> None:
    """What is only offered tonight is not left out: it stays where the plan has it."""
    from core.evening.around.tight_end import only_offered

    why = only_offered(step)
    if why:
        raise Refused(why)


def refuse_dirty_path(shelf: Shelf, reel: str, because: str, at: datetime) -> None:
    """Refused, without a reason, where another tape left something on the deck meanwhile."""
    from core.conditioning.spreading.dirty_path import path_before
    from core.evening.playing.passes import deck_of_pass

    path = path_before(shelf, deck_of_pass(shelf, reel), reel, at)
    if path is not None and not because.strip():
        raise Refused(f"{reel} does not go on: {path.says} ({path.told_by})")


def refuse_unlooked(shelf: Shelf, step: Step, key: str, because: str) -> None:
    """Refused, without a reason, where nobody looked at the tape since it was too hot or near mould."""
    from core.conditioning.spreading.shared_air import to_be_looked_at
    from core.evening.tonight.steps import words

    look = to_be_looked_at(shelf, shelf.reel(key)) if key in shelf.reels else ""
    if look and not because.strip():
        raise Refused(f"{words(step)} does not begin: {key} {look} (--because says why all the same)")


def refuse_in_doubt(workbook: Workbook, step: Step, key: str, because: str) -> None:
    """Refused, without a reason, where its warmth rests on a word, was too short, or was against its base.

    What refuses that tape anyway is said by the gate.
    """
    from core.conditioning.warmth_in_doubt import warmth_in_doubt
    from core.evening.tonight.steps import words
    from core.standing.gates import ready_to_play

    reel = workbook.shelf.reels.get(key)
    if reel is None or because.strip() or ready_to_play(workbook.shelf, reel, workbook.now()):
        return
    doubt = warmth_in_doubt(workbook.shelf, reel)
    if doubt:
        raise Refused(f"{words(step)} does not begin: {key}: {doubt} (--because says why all the same)")


def refuse_untried(workbook: Workbook, step: Step) -> None:
    """Refused where the tape is to be tried by hand first, and nobody told how it ran."""
    from core.evening.tonight.steps import to_try, words

    tries = to_try(workbook.shelf, step, workbook.now())
    if tries is not None:
        raise Refused(f"{words(step)} does not begin: {tries}")


def refuse_late(workbook: Workbook, key: str) -> None:
    """What stops by itself is noticed late: a tape that ran out long before is over when somebody says."""
    from core.evening.afterwards.left_running import late_end

    now = workbook.now().astimezone(workbook.shelf.studio.zone)
    late = late_end(workbook.shelf, key, now)
    if late is not None:
        raise Refused(f"{late}: say when it was over or stopped: --at 20:07, or --at 31:20 of the tape")


def refuse_out_of_turn(workbook: Workbook, given: argparse.Namespace, step: Step, act: str) -> None:
    """Refused where the step cannot be begun, ended or run backwards; ``act`` is what it waits for."""
    from core.evening.tonight.backwards import may_run_backwards
    from core.evening.tonight.steps import words
    from tui.text.run_sheet import between_passes

    if given.act == "end" and act in ("start", "start pass", "go on"):
        over = between_passes(workbook.shelf, step, workbook.now())
        raise Refused(
            f"{words(step)}: {over[0]}" if over else f"{words(step)} does not run: there is nothing to end"
        )
    if given.act == "begin" and act in ("end pass", "finish"):
        raise Refused(f"{words(step)} runs already")
    if given.backwards and (act == "go on" or not may_run_backwards(workbook.shelf, step)):
        raise Refused(
            f"{words(step)} does not run backwards: only a whole tape does that lies tails out, undecoded, "
            "on a deck with reverse_play"
        )
