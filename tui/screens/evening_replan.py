"""Planning again in mid-evening: few moves, and what moved is said before it is kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import ClassVar

from textual import on
from textual.binding import BindingType
from textual.widget import Widget

from core.plan import Plan
from tui.board.evenings import what_moved
from tui.keys import bindings
from tui.safe_text import fit
from tui.screens.asking import Question
from tui.screens.evening_place import EveningPlace
from tui.widgets.line_list import LineList, Part
from tui.workers.planning import Search, Searched

SECONDS = 5.0  # how long a search in mid-evening runs


class Sentences(LineList):
    """A few sentences, one a line."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__()
        self.lines = tuple(lines)

    def on_mount(self) -> None:
        """Shows them all."""
        self.styles.height = min(max(1, len(self.lines)), 14)
        self.lay(len(self.lines), 0)

    def parts(self, index: int, width: int) -> Sequence[Part]:
        """One sentence."""
        return [(fit(self.lines[index], width), "word")]


class MovedPage(Question[bool]):
    """What the new plan moves; Enter keeps it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("list")
    FOOT = "Enter keeps the new plan   Esc leaves the kept one as it is"

    def __init__(self, moved: Sequence[str]) -> None:
        count = len(moved)
        title = "Planned again: nothing moves" if not count else f"Planned again: {count} things to know"
        super().__init__(title, "Only steps from now on may move; what was done stays as it was.")
        self.moved = tuple(moved)

    def answers(self) -> Iterable[Widget]:
        """The sentences."""
        yield Sentences(self.moved or ("every step stays where it is",))

    def action_yes(self) -> None:
        """Keeps the plan."""
        self.dismiss(True)


class ReplanActs(EveningPlace):
    """Starts the search in its thread, and offers what it found."""

    def __init__(self) -> None:
        super().__init__()
        self.search: Search | None = None
        self.new: Plan | None = None

    def action_replan(self) -> None:
        """Plans again from now."""
        self.replan("")

    def replan(self, happened: str) -> None:
        """Plans again after what happened; the evening goes on meanwhile."""
        home, kept = self.home, self.home.plan
        lead = f"{happened}; " if happened else ""
        if kept is None:
            self.say(f"{lead}no plan is kept: W shows the week, R plans there")
            return
        if home.search is not None:
            self.say(f"{lead}planning goes on already")
            return
        days = max(1, (kept.until.date() - home.now().date()).days)
        self.new = None
        self.search = home.search = Search(home.book, self, SECONDS, days, kept)
        self.run_worker(self.search.run, thread=True, exclusive=True, group="plan", exit_on_error=False)
        self.say(f"{lead}planning again, few moves ...")

    @on(Searched)
    def _searched(self, event: Searched) -> None:
        if event.search is not self.search:
            return
        self.search = self.home.search = None
        if event.plan is None:
            self.home.say(f"no new plan: {event.trouble}", bad=True)
            return
        self.new = event.plan
        if self.is_current:
            self.offer()
        else:
            self.home.say("planned again: T shows what moves")

    def offer(self) -> None:
        """Says what moves, and asks whether to keep it."""
        plan, kept = self.new, self.home.plan
        if plan is None:
            return
        self.new = None
        moved = plan.moved or (tuple(what_moved(kept, plan)) if kept is not None else ())
        self.app.push_screen(MovedPage(moved), lambda yes: self._keep(plan, len(moved)) if yes else None)

    def _keep(self, plan: Plan, moves: int) -> None:
        home = self.home
        said = f"the new plan is kept, {moves} things moved: O prints its work order"
        home.do(lambda: home.book.keep_plan(plan), said)
        self.laid()

    def on_screen_resume(self) -> None:
        """Coming back, a plan that was found meanwhile is offered."""
        super().on_screen_resume()
        if self.is_mounted and self.new is not None:
            self.call_after_refresh(self.offer)

    def on_unmount(self) -> None:
        """A search that runs when the program ends is not listened to any more."""
        if self.search is not None:
            self.search.stop(silently=True)
