"""A page of text to scroll through: wrapped to the terminal, headings marked, nothing in it markup."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from textwrap import wrap
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from tui.frame.drawn.line_list import LineList, Part
from tui.frame.place import Place
from tui.keys.keys import bindings
from tui.safe_text import clean, fit

#: Lines of (role, text); a role is one of line_list.ROLES.
Lines = Sequence[tuple[str, str]]


class TextLines(LineList):
    """Text wrapped to the width that there is; the cursor scrolls it."""

    def __init__(self) -> None:
        super().__init__()
        self.told: Lines = ()
        self._wrapped: list[tuple[str, str]] = []
        self._broken_to = 0

    def show(self, told: Lines) -> None:
        """Shows that text."""
        self.told = tuple(told)
        self._wrap()

    def _wrap(self) -> None:
        self._broken_to = self.size.width or self.app.size.width  # it will be as wide as the screen
        width = max(20, self._broken_to - 3)
        self._wrapped = []
        for role, text in self.told:
            if role == "head" and self._wrapped:
                self._wrapped.append(("word", ""))
            lead = "" if role in ("head", "plot") else "  "
            pieces = [clean(text)] if role == "plot" else broken(clean(text), width - 2)
            self._wrapped += [("word" if role == "plot" else role, lead + one) for one in pieces or [""]]
        self.lay(len(self._wrapped))

    def on_resize(self) -> None:
        """Another width wraps anew."""
        if self.size.width != self._broken_to:
            self._wrap()

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line of the page."""
        role, text = self._wrapped[index]
        return [(fit(f" {text}", width), role)]


def broken(text: str, width: int) -> list[str]:
    """The lines of one paragraph; the name of a row is never broken at its hyphen."""
    return wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)


class TextPage(Place):
    """A page that tells something; Esc leaves it. ``tell`` is asked anew whenever the shelf changes."""

    PLACES: ClassVar[tuple[str, ...]] = ("list",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("list")

    def __init__(self, title: str, tell: Callable[[], Lines], *, figures: str = "") -> None:
        """``figures``: the place whose figures F3 tells of, in place of that in which it was opened."""
        super().__init__()
        self.title_words, self.tell = title, tell
        self.FIGURES = figures

    def body(self) -> Iterable[Widget]:
        """The text."""
        yield TextLines()

    def heading(self) -> str:
        """What the page is about."""
        return self.title_words

    def laid(self) -> None:
        """Tells it as it is now."""
        self.query_one(TextLines).show(self.tell())
