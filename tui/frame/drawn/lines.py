"""The single lines that every place has: head, what was just said, the chamber's next touch."""

from __future__ import annotations

from textwrap import wrap

from textual.app import RenderResult
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from tui.safe_text import cells, fit, plain


class HeadLine(Widget):
    """The studio or the place, two keys where there is room, the day and the clock, the bench window."""

    left: reactive[str] = reactive("")
    keys: reactive[tuple[tuple[str, str], ...]] = reactive(())
    middle: reactive[str] = reactive("")
    right: reactive[str] = reactive("")

    def render(self) -> RenderResult:
        """Left and right stand at their ends, the clock and the keys between; words go before keys."""
        width = self.size.width
        right = fit(f"{self.right} ", min(cells(self.right) + 1, width))
        middle = f"  {self.middle}  "
        room = max(0, width - cells(right) - cells(middle))
        keys = self._fitting(room - cells(self.left) - 3)
        taken = sum(cells(f" {name} {word} ") for name, word in keys)
        pieces: list[Content] = [plain(fit(f" {self.left}", room - taken))]
        for name, word in keys:
            pieces += [plain(f" {name}", "$primary"), plain(f" {word} ", "not bold")]
        pieces.append(plain(fit(middle + right, width - room)))
        return Content("").join(pieces)

    def _fitting(self, room: int) -> tuple[tuple[str, str], ...]:
        """As many of the keys as there is room for, from the last one on."""
        kept: list[tuple[str, str]] = []
        for name, word in reversed(self.keys):
            room -= cells(f" {name} {word} ")
            if room < 0:
                break
            kept.insert(0, (name, word))
        return tuple(kept)


#: Rows of a terminal in which a third row of what was said leaves enough to the place.
TALL = 20


class SayLine(Widget):
    """The last thing that was said: what was done, or why not; trouble is marked with a sign."""

    text: reactive[str] = reactive("")
    bad: reactive[bool] = reactive(False)

    def watch_text(self, text: str) -> None:
        """A sentence that is longer than the line takes a second or a third while it stands there."""
        width = self.size.width or self.app.size.width
        rows = self._rows(width)
        self.set_class(cells(text) + 2 > width, "-long")
        self.set_class(len(rows) > 2 and self.app.size.height >= TALL, "-longest")

    def _rows(self, width: int) -> list[str]:
        return wrap(self.text, max(20, width - 3), break_on_hyphens=False) or [""]

    def render(self) -> RenderResult:
        """As many lines as the place gives it; what is cut off stands whole on the `?` page's head."""
        self.set_class(self.bad, "-bad")
        sign, width, most = "! " if self.bad else "  ", self.size.width, max(1, self.size.height)
        lines = self._rows(width) if most > 1 else [self.text]
        whole = [*lines[: most - 1], " ".join(lines[most - 1 :])]
        first = f"{sign if self.text else ''}{whole[0]}"
        return plain("\n".join(fit(line, width) for line in (first, *(f"  {one}" for one in whole[1:]))))
