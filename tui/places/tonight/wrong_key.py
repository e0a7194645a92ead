"""What is asked before a key that may be the wrong one counts: a touch too soon, work that is not over."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.evening.afterwards.left_running import late_end
from core.evening.hardly import hardly_begun
from core.evening.tonight.sheet import Step
from core.evening.tonight.steps import too_soon, words
from core.evening.tonight.transfer import open_pass
from core.logbook.passes import pass_key, played
from tui.keys.keys import called

if TYPE_CHECKING:
    from tui.home import Home


def ask_too_soon(home: Home, step: Step, at: datetime, then: Callable[[], None]) -> None:
    """A turn or a take-out long before its time is asked about: a wrong key must not log one."""
    from tui.asking.asking import AskYes

    early = too_soon(step, at)
    if early is None:
        then()
        return
    question = AskYes(f"{words(step)}: now all the same?", f"It is {early}.")
    home.push_screen(question, lambda yes: then() if yes else None)


def ask_over(
    home: Home, step: Step, at: datetime, over: Callable[[datetime], None], other: Callable[[], None]
) -> None:
    """Asks whether work is over that began just now, and a pass where much of its tape should be to come.

    One that had run out long before was over then, unless its tape is longer; ``other``: at another time.
    """
    from core.clock import clock_text
    from tui.asking.asking import AskYes

    early = hardly_begun(step, at)
    if early is not None:
        question = AskYes(f"{words(step)}: done?", f"{early} Enter: it is done. Esc: it runs on.")
        home.push_screen(question, lambda yes: over(at) if yes else None)
        return

    tape = open_pass(home.shelf, step, at) if step.kind == "transfer" else None
    late = late_end(home.shelf, pass_key(tape.reel, tape.number), at) if tape is not None else None
    if tape is not None and late is not None:
        _ask_when_over(home, pass_key(tape.reel, tape.number), late, at, over, other)
        return
    if tape is None or tape.state != "running" or tape.left <= max(120.0, tape.total / 10):
        over(at)
        return
    left = f"By its length {clock_text(int(tape.left))} of tape are still to come."
    stop = called("tonight.stop", home.own_keys)
    question = AskYes(
        f"{step.subject}: is the pass over?", f"{left} Enter: it is over. Esc, then {stop} stops it instead."
    )
    home.push_screen(question, lambda yes: over(at) if yes else None)


def _ask_when_over(
    home: Home, key: str, late: str, at: datetime, over: Callable[[datetime], None], other: Callable[[], None]
) -> None:
    from tui.asking.choosing import AskChoice

    out = played(home.shelf)[key].ran_out(at)
    choices = (
        ("then", "it was over then"),
        ("now", f"it played until now, {at:%H:%M}: it is longer"),
        ("other", "it was over at another time or place"),
    )

    def answered(when: str | None) -> None:
        if when == "other":
            other()
        elif when is not None:
            over(out.astimezone(at.tzinfo) if when == "then" and out is not None else at)

    home.push_screen(AskChoice(f"{late}: when was it over?", choices), answered)


def ask_all_the_same(home: Home, step: Step, at: datetime, why: str, then: Callable[[str], None]) -> None:
    """A gate that is not met asks for the reason; who loads just before the home hours only confirms it."""
    from core.evening.warming.load import at_home_already
    from tui.asking.reason import ask_reason

    question = ask_reason(
        f"{words(step)}: all the same?",
        f"{why} Say why; it is kept.",
        step=step.key,
        text=at_home_already(home.shelf, step.subject, step.reels, at) if step.kind == "load" else "",
    )
    home.push_screen(question, lambda because: then(because) if because else None)
