"""What a half-typed text is of, in words."""

from __future__ import annotations

import re
from datetime import date

from core.words import day_text

#: What a draft is of, by the first words of the name it is kept under.
_OF = {
    "line-up": "a reading,",
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
    "box by box": "the next box",
    "rename": "another key for",
    "merge": "the tape that is the same as",
    "split": "a key for the second tape of",
    "look": "what is seen of",
    "new reels": "a run of tapes,",
    "stock": "the stock of",
    "named": "the name of",
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
_STEP_TIME = re.compile(
    r"\b(\d{4}-(?:0\d|1[0-2])-(?:[0-2]\d|3[01]))(?:T(\d\d:\d\d)(?::\d\d)?(?:[+-]\d\d:?\d\d|Z)?)?\b"
)


def told(name: str) -> str:
    """What a draft is of, in words: ``why skip: transfer R-001, Tue 1 Dec 19:15`` for its record's name."""
    name = re.sub(r"^studio (studio|capture|minutes|comfort) 0 ", "studio ", name)
    if of := re.fullmatch(r"studio (?:(deck|chamber|treatment) (\d+) )?(\w+)", name):
        whole = f"the studio's {of[1]} {int(of[2]) + 1}" if of[1] else "the studio"
        return f"{whole}, {of[3].replace('_', ' ')}"
    plain = _STEP_TIME.sub(_time_text, name)
    first = next(
        (one for one in sorted(_OF, key=len, reverse=True) if f"{plain} ".startswith(f"{one} ")), None
    )
    return plain if first is None else f"{_OF[first]}{plain.removeprefix(first)}"


def _time_text(at: re.Match[str]) -> str:
    try:
        day = day_text(date.fromisoformat(at[1]))
    except ValueError:
        return at[0]  # no such day: part of a key that was typed
    return f"{day} {at[2]}" if at[2] else day
