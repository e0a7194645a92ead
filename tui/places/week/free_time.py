"""Free time: how much of each evening is left, what could fill it, and what more of it would bring."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from core.planning.answers.holes import Hole
from core.words import day_text, hours_text
from tui.board.evenings import Week
from tui.frame.place import Place
from tui.frame.text_page import TextLines
from tui.keys.keys import bindings
from tui.text.supposed import supposed_lines
from tui.text.week import hole_words
from tui.workers.supposing import Brought, Supposing, Tried, Trying

if TYPE_CHECKING:
    from core.planning.answers.whatif import WhatIf

SECONDS = 3.0  # for each change that is tried


class FreeTimePage(Place):
    """Opens with what is free; the what-ifs come below one by one. Esc stops them."""

    PLACES: ClassVar[tuple[str, ...]] = ("list",)
    BINDINGS: ClassVar[list[BindingType]] = bindings("list")

    def __init__(self, week: Week, holes: tuple[Hole, ...]) -> None:
        super().__init__()
        self.week, self.holes = week, holes
        self.trying = "as it is"
        self.tried: tuple[WhatIf, ...] = ()
        self.done = False
        self.trouble = ""
        self.asked: Supposing | None = None

    def on_mount(self) -> None:
        """Begins to plan with each change, in a thread."""
        super().on_mount()
        self.asked = Supposing(self.home.book, self, SECONDS)
        self.run_worker(self.asked.run, thread=True, exclusive=True, group="suppose", exit_on_error=False)

    def heading(self) -> str:
        """What the page is about."""
        return "Free time, and what more of it would bring"

    def body(self) -> Iterable[Widget]:
        """The text."""
        yield TextLines()

    def laid(self) -> None:
        """What is free, and what was tried so far."""
        self.query_one(TextLines).show([*self._free(), *self._more()])

    def _free(self) -> Iterator[tuple[str, str]]:
        free, bench = self.week.free_minutes, self.week.bench_minutes
        yield "head", f"Free: {hours_text(free)} of {hours_text(bench)} at the bench"
        could = {hole.day: hole for hole in self.holes}
        for day in self.week.days:
            if day.bench:
                hole = could.get(day.day)
                told = hole_words(hole) if hole is not None else "full"
                yield "word" if hole is not None else "dim", f"{day_text(day.day)}: {told}"

    def _more(self) -> Iterator[tuple[str, str]]:
        yield "head", "What would bring songs forward"
        if self.trouble:
            yield "bad", self.trouble
        elif self.done and not self.tried:
            yield "dim", "nothing could be tried"
        if self.tried:
            width = max(50, self.size.width - 4)
            shelf = self.home.shelf
            yield from (("plot", line) for line in supposed_lines(shelf, self.tried, width))
        if not self.done:
            yield "dim", f"planning with {self.trying} ... (about {SECONDS:.0f} s each; Esc stops it)"

    @on(Trying)
    def _trying(self, event: Trying) -> None:
        if event.asked is self.asked:
            self.trying = event.name
            self.laid()

    @on(Brought)
    def _brought(self, event: Brought) -> None:
        if event.asked is self.asked:
            found = (*self.tried, event.found)
            self.tried = tuple(sorted(found, key=lambda one: (-one.saved, one.name)))
            self.laid()

    @on(Tried)
    def _tried(self, event: Tried) -> None:
        if event.asked is self.asked:
            self.tried, self.trouble, self.done = event.tried, event.trouble, True
            self.laid()

    def on_unmount(self) -> None:
        """Leaving stops what is still tried."""
        if self.asked is not None:
            self.asked.stop(silently=True)
