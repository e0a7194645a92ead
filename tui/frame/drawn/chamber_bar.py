"""The line about the chamber's next touch, and the time until it."""

from __future__ import annotations

from datetime import datetime
from textwrap import wrap

from textual.app import RenderResult
from textual.reactive import reactive
from textual.widget import Widget

from tui.safe_text import cells, fit, plain


class ChamberBar(Widget):
    """The chamber's next touch, and a bar of the time left that runs down; not there without a load."""

    words: reactive[str] = reactive("")
    behind: reactive[str] = reactive("")
    """What is due besides, on a row of its own."""
    share: reactive[float] = reactive(0.0)
    late: reactive[bool] = reactive(False)
    plain_signs: reactive[bool] = reactive(False)
    moment: datetime | None = None

    def watch_words(self, words: str) -> None:
        """The line takes room only while there is something to tell, and two where that is long."""
        self.display = bool(words)
        self._takes_rows()

    def watch_behind(self, behind: str) -> None:
        """What is due besides takes a row of its own."""
        self._takes_rows()

    def _takes_rows(self) -> None:
        long = cells(self.words) + 5 > (self.size.width or self.app.size.width)
        rows = 1 + long + bool(self.behind)
        self.set_class(rows == 2, "-long")
        self.set_class(rows == 3, "-longest")

    def render(self) -> RenderResult:
        """``C1 turn at 20:00, in 25 min`` and a bar of the time that is left; below what is due besides."""
        self.set_class(self.late, "-late")
        words = f" {'!! ' if self.late else ''}{self.words} "
        below = [fit(f" {self.behind}", self.size.width)] if self.behind else []
        if self.size.height > 1 + len(below) and words.strip():
            first, *more = wrap(words.strip(), max(20, self.size.width - 2), break_on_hyphens=False)
            rows = [fit(f" {one}", self.size.width) for one in (first, " ".join(more))]
            return plain("\n".join([*rows, *below]))
        room = max(0, self.size.width - cells(words) - 2)
        full, rest = ("=", "-") if self.plain_signs else ("━", "─")
        filled = round(room * max(0.0, min(1.0, self.share)))
        bar = fit(words + full * filled + rest * (room - filled), self.size.width)
        return plain("\n".join([bar, *below]))
