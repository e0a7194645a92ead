"""Leaving the program: a running search is stopped, and typing that was never finished is asked about."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from core.evening.playing.passes import running_pass
from core.store.disk.last_seen import left
from core.words import day_text
from tui.asking.asking import AskYes

if TYPE_CHECKING:
    from tui.home import Home


#: What a draft is of, by the first words of the name it is kept under.
_OF = {
    "because": "why",
    "skip": "why skip",
    "why": "why",
    "words": "a note's words on",
    "paper": "from paper,",
    "catch up": "catching up,",
    "stopped": "why it was stopped,",
    "when": "when was it,",
    "at": "when was it,",
    "box": "the box of",
    "again": "hours for another warming of",
    "splice": "joints that let go,",
    "aside": "why set aside,",
    "span": "a span,",
    "mishap reel": "which reel",
    "note": "a note on",
    "broken": "why it was broken off, load",
    "reading": "a reading of load",
    "weight": "a weight",
}
_STEP_TIME = re.compile(r"(\d{4}-\d\d-\d\d)T(\d\d:\d\d)(?::\d\d)?(?:[+-]\d\d:?\d\d|Z)?")


def told(name: str) -> str:
    """What a draft is of, in words: ``why skip: transfer R-001, Tue 1 Dec 19:15`` for its record's name."""
    name = re.sub(r"^studio (studio|capture|minutes|comfort) 0 ", "studio ", name)
    plain = _STEP_TIME.sub(lambda at: f"{day_text(date.fromisoformat(at[1]))} {at[2]}", name)
    first = next(
        (one for one in sorted(_OF, key=len, reverse=True) if f"{plain} ".startswith(f"{one} ")), None
    )
    return plain if first is None else f"{_OF[first]}{plain.removeprefix(first)}"


async def leave(app: Home) -> None:
    """Ends the program, at once where nothing is half typed."""
    unfinished = [
        f"{told(name)}: {text}" for name, text in app.drafts.items() if text.strip() and name != "find"
    ]
    if not unfinished or isinstance(app.screen, LeaveQuestion):
        _end(app)
        return
    words = "This was typed and not taken yet:\n\n" + "\n".join(f"  {line}" for line in unfinished[:8])
    app.push_screen(LeaveQuestion("Leave all the same?", words), lambda yes: _end(app) if yes else None)


class LeaveQuestion(AskYes):
    """Asked once before typing is thrown away."""

    FOOT = "{ask.yes} leaves, and drops it   {ask.out} goes back to it"


def _end(app: Home) -> None:
    """A search that runs is stopped first: its thread would keep the program alive."""
    app.stop_planning()
    left(app.book.path)
    touch, tape = app.next_touch, running_pass(app.shelf, app.now())
    said = [f"{tape.reel} is running: its clock goes on."] if tape is not None else []
    said += [f"A load is running. Next touch: {touch.words(app.now())}"] if touch is not None else []
    app.exit(0, message="\n".join(said) or None)
