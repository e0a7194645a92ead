"""A chamber load on the screen: wrapped lines, some of which are about one reel."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.safe_text import clean, fit

#: Role, text, and the reel that the line is about.
Row = tuple[str, str, str]


class ChamberList(LineList):
    """The lines of one load; the cursor scrolls them and stands on reels."""

    def __init__(self) -> None:
        super().__init__()
        self.told: tuple[Row, ...] = ()
        self._wrapped: list[tuple[str, str, int]] = []  # role, text, which of the rows told it is a piece of

    def show(self, told: Sequence[Row], *, first: bool = False) -> None:
        """Shows these lines; with ``first`` from the top, the cursor on the first reel."""
        self.told = tuple(told)
        at = next((n for n, row in enumerate(self.told) if row[2]), 0) if first else self._here
        self._wrap(at)
        if first:
            self.scroll_to(y=0, animate=False, immediate=True)

    @property
    def reel(self) -> str:
        """The reel under the cursor; empty on a line that is about none."""
        return self.told[self._here][2] if self._here < len(self.told) else ""

    @property
    def _here(self) -> int:
        return self._wrapped[self.cursor][2] if self.cursor < len(self._wrapped) else 0

    def _wrap(self, at: int) -> None:
        """Breaks the rows to the width, the cursor on the first piece of row ``at`` or where it was in it."""
        width = max(20, (self.size.width or self.app.size.width) - 4)
        stays = self._here == at
        self._wrapped = []
        for number, (role, text, _) in enumerate(self.told):
            if role == "head" and self._wrapped:
                self._wrapped.append(("word", "", number))
            lead = "" if role == "head" else "  "
            bare = clean(text)
            own = bare[: len(bare) - len(bare.lstrip())]
            pieces = wrap(bare.strip(), width - len(lead + own), subsequent_indent="  ") or [""]
            self._wrapped += [(role, lead + own + one, number) for one in pieces]
        first = next((n for n, row in enumerate(self._wrapped) if row[2] == at), 0)
        last = max((n for n, row in enumerate(self._wrapped) if row[2] == at), default=0)
        self.lay(len(self._wrapped), min(max(self.cursor, first), last) if stays else first)

    def on_resize(self) -> None:
        """Another width wraps anew."""
        self._wrap(self._here)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line; a sign at its edge shows where the cursor is, also without colour."""
        role, text, _ = self._wrapped[index]
        plain = bool(getattr(self.app, "plain_signs", False))
        sign = glyphs(plain=plain).cursor if index == self.cursor else " "
        return [(fit(f"{sign}{text}", width), role)]
