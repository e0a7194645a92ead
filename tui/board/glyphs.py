"""The few signs that the screen draws with, each with a plain-letter twin for terminals that lack it."""

from __future__ import annotations

import locale
import os

from core.values import dataclass


@dataclass(frozen=True, slots=True)
class Glyphs:
    """One set of signs; every one is a single column wide."""

    done: str = "•"
    next: str = "o"
    under_way: str = "~"
    not_needed: str = "-"
    barred: str = "x"
    not_yet: str = "."
    bar: str = "━"
    rest: str = "─"
    turn: str = "t"
    cursor: str = "›"
    half: str = "▌"

    def state(self, name: str) -> str:
        """The sign of a stage's state, by its name in the chart."""
        return str(getattr(self, name))


SIGNS = Glyphs()
#: The twins: plain letters and signs that every terminal and every braille display has.
PLAIN = Glyphs(done="*", bar="=", rest="-", cursor=">", half="|")

#: What each state is called in words, in the order in which the key under the chart tells them.
WORDS = {
    "done": "done",
    "next": "next, and possible now",
    "under_way": "under way",
    "not_needed": "not needed",
    "barred": "barred",
    "not_yet": "not yet",
}


def glyphs(*, plain: bool) -> Glyphs:
    """The signs, or their plain twins."""
    return PLAIN if plain else SIGNS


def draws_signs() -> bool:
    """True where the terminal's encoding has the signs that we draw with."""
    encoding = locale.getpreferredencoding(False)
    try:
        "•━─›▌".encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return os.environ.get("TERM") not in ("linux", "dumb")
