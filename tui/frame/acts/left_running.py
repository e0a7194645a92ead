"""A tape runs by the shelf since an earlier evening: what became of it is asked before anything else."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from core.clock import clock_text
from core.evening.afterwards.left_running import LeftRunning, ran_out
from core.evening.playing.passes import stop_pass
from core.evening.playing.when import When
from core.logbook.passes import played
from core.shelf import Shelf

if TYPE_CHECKING:
    from tui.home import Home


def ask_left(home: Home, left: LeftRunning) -> None:
    """It ran to its end, was stopped when the evening closed, or at another time or place."""
    from tui.asking.choosing import AskChoice
    from tui.asking.when import ask_when

    tape = played(home.shelf)[left.key]

    def stopped(at: datetime, place: float | None) -> None:
        _does(
            home, f"{left.reel} stopped {at:%a %H:%M}", lambda s: stop_pass(s, left.key, at, "stopped", place)
        )

    def told(when: When) -> None:
        stopped(when.moment, when.place if when.told_by == "tape" else None)

    def answered(what: str | None) -> None:
        if what == "end":
            _does(home, f"{left.reel} ran to its end", lambda s: ran_out(s, left))
        elif what == "closed" and left.closed is not None:
            stopped(left.closed, None)
        elif what == "when":
            ask_when(home, f"When did {left.reel} stop?", f"stop {left.key}", tape, told)

    choices = []
    if left.ends is not None:
        choices.append(("end", f"it ran to its end, {left.ends:%a %H:%M}"))
    if left.closed is not None:
        place = clock_text(int(tape.position_at(left.closed)))
        choices.append(
            ("closed", f"it was stopped {left.closed:%a %H:%M}, when the evening ended: at {place}")
        )
    choices.append(("when", "it was stopped at another time or place"))
    title = f"{left.reel} runs since {left.began:%a %H:%M} by the log: what became of it?"
    home.push_screen(AskChoice(title, choices, words="Its places and its step follow your answer."), answered)


def _does(home: Home, what: str, act: Callable[[Shelf], Shelf]) -> None:
    home.do(lambda: home.book.change(act, what=what), home.undoable(what))
