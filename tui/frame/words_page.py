"""The words of one line, told from the glossary over whatever is open; no key does anything else there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from core.tape.told.glossary import entry_of
from tui.frame.text_page import TextPage

if TYPE_CHECKING:
    from tui.home import Home


def tell_words(home: Home, words: Iterable[str]) -> bool:
    """Opens a page that tells them; False where the glossary has none of them."""
    found = {one.word: one.told for word in words if (one := entry_of(word)) is not None}
    return tell(home, found.values())


def tell(home: Home, told: Iterable[str]) -> bool:
    """Opens a page of those sentences; False where there is none."""
    lines = tuple(("word", one) for one in told)
    if not lines:
        return False
    home.push_screen(TextPage("What that means", lambda: lines))
    return True
