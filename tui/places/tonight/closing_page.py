"""What to look at before one leaves; one key ticks the reels of a line as put back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.evening.around.closing_look import Closing
from core.evening.around.put_back import not_back, put_back
from core.evening.around.where_it_lies import NOWHERE
from core.shelf import Shelf
from tui.board.closing import closing_of, closing_rows
from tui.board.glyphs import glyphs
from tui.frame.drawn.line_list import LineList, Part
from tui.frame.place import Place
from tui.frame.text_page import broken
from tui.keys.keys import bindings
from tui.safe_text import clean, fit

#: Role, text, and the reels that the line is about.
Row = tuple[str, str, tuple[str, ...]]


class ClosingList(LineList):
    """The closing look, wrapped, close together where it is long; a sign shows the cursor's line."""

    def __init__(self) -> None:
        super().__init__()
        self.told: tuple[Row, ...] = ()
        self._rows: list[Row] = []
        self._of: list[int] = []  # of which line each row is, -1 for an empty one

    def show(self, told: Sequence[Row]) -> None:
        """Shows these lines; at first the cursor stands on the heading of what is put back."""
        first, self.told = not self.told, tuple(told)
        self._wrap()
        if first:
            self.cursor = next((n for n, row in enumerate(self._rows) if row[2]), 0)

    @property
    def reels(self) -> tuple[str, ...]:
        """The reels that the line under the cursor is about."""
        return self._rows[self.cursor][2] if self.cursor < len(self._rows) else ()

    def _wrap(self) -> None:
        was = self._of[self.cursor] if self.cursor < len(self._of) else 0
        self._broken(apart=True)
        if len(self._rows) > (self.size.height or len(self._rows)):
            self._broken(apart=False)
        stays = self.cursor < len(self._of) and self._of[self.cursor] == was
        here = self.cursor if stays or was not in self._of else self._of.index(was)
        self.lay(len(self._rows), here)

    def _broken(self, *, apart: bool) -> None:
        """Breaks the lines in the width that there is; ``apart``: an empty row before each heading."""
        width = max(20, (self.size.width or self.app.size.width) - 5)
        self._rows, self._of = [], []
        for number, (role, text, reels) in enumerate(self.told):
            if role == "head" and self._rows and apart:
                self._rows.append(("word", "", ()))
                self._of.append(-1)
            lead = "" if role == "head" else "  "
            for one in broken(clean(text), width) or [""]:
                self._rows.append((role, lead + one, reels))
                self._of.append(number)

    def on_resize(self) -> None:
        """Another width wraps anew."""
        self._wrap()

    def skips(self, index: int) -> bool:
        """The cursor stands on no empty line."""
        return not self._rows[index][1].strip()

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One line; the sign at its edge shows the cursor."""
        role, text, _ = self._rows[index]
        plain = bool(getattr(self.app, "plain_signs", False))
        sign = glyphs(plain=plain).cursor if index == self.cursor else " "
        return [(fit(f"{sign}{text}", width), role)]


class ClosingPage(Place):
    """The closing look of tonight, as it is now."""

    PLACES: ClassVar[tuple[str, ...]] = ("closing", "list")
    BINDINGS: ClassVar[list[BindingType]] = bindings("closing", "list")

    def body(self) -> Iterable[Widget]:
        """The lines."""
        yield ClosingList()

    def heading(self) -> str:
        """What the page is about."""
        return "Before you leave"

    def laid(self) -> None:
        """Tells it as it is now."""
        self.query_one(ClosingList).show(tuple(closing_rows(self._look())))

    def _look(self) -> Closing:
        return closing_of(self.home.shelf, self.home.plan, self.home.now())

    def reason_not(self, action: str) -> str | None:
        """Only what was in hand is put back."""
        if action == "put_back" and not self._waiting()[1]:
            return (
                "move to a line under Put back" if self._look().back else "nothing was taken from its place"
            )
        return super().reason_not(action)

    def _waiting(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Of the line's reels those that are not back yet, and all that can be ticked."""
        reels = self.query_one(ClosingList).reels if self.is_mounted else ()
        inside = self.home.shelf.reels
        here = [one for one in self._look().back if one.reel in reels and not inside[one.reel].chamber]
        return tuple(one.reel for one in here if one.since is None), tuple(one.reel for one in here)

    def action_put_back(self) -> None:
        """The reels of this line are in their places; where all of them are already, they are not."""
        waiting, reels = self._waiting()
        nowhere = [key for key in waiting if not self.home.shelf.reel(key).location]
        if nowhere:
            self._ask_place(waiting, nowhere)
        elif waiting:
            self._put(waiting)
        else:
            what = f"{', '.join(reels)}: not put back"
            self._change(lambda shelf: not_back(shelf, reels), what)

    def _ask_place(self, waiting: tuple[str, ...], nowhere: Sequence[str]) -> None:
        from tui.asking.asking import AskText

        question = AskText(
            f"{', '.join(nowhere)}: where on the shelf?",
            f"{NOWHERE.capitalize()} so far; it is kept.",
            draft=f"place {' '.join(nowhere)}",
            hint="A3",
        )
        self.app.push_screen(question, lambda place: self._put(waiting, place) if place else None)

    def _put(self, keys: tuple[str, ...], place: str = "") -> None:
        at = self.home.now()
        self._change(lambda shelf: put_back(shelf, keys, at, place), f"{', '.join(keys)}: put back")

    def _change(self, act: Callable[[Shelf], Shelf], what: str) -> None:
        self.home.do(lambda: self.home.book.change(act, what=what), self.home.undoable(what))
