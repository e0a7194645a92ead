"""Planning again in mid-evening: few moves, and what moved is said before it is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from textual.message import Message

from core.clock import days_to_reach
from core.evening.around.second_heat import second_heats, second_words
from core.logbook.running import line_ups_running, table_work
from core.plan import Plan
from core.store.beside.plan_again import ask, planned
from core.words import counted
from tui.board.what_moved import looks_moved, what_moved
from tui.frame.acts.held import Acts
from tui.frame.acts.plan_again import waits_since
from tui.frame.by_itself import types_a_line
from tui.places.tonight.acts.moved_page import MovedPage
from tui.places.tonight.evening import Evening
from tui.text.supposed import songs_compared
from tui.workers.planning import Search, Searched

EFFORT = 3.0  # of a search in mid-evening: by work, so that a slow machine finds the same plan, later
MOST = 20.0  # seconds of it, on the slowest


class Planned(Evening, Protocol):
    """An evening that can be planned again: it has threads, and hears what came out of one."""

    @property
    def run_worker(self) -> Callable[..., object]:
        """Runs something in a thread of its own."""

    @property
    def post_message(self) -> Callable[[Message], object]:
        """Hands a message on."""

    @property
    def call_after_refresh(self) -> Callable[..., object]:
        """Calls something once what is to be drawn stands."""


class ReplanActs(Acts[Planned]):
    """Starts the search in its thread, and offers what it found."""

    def __init__(self, here: Planned) -> None:
        super().__init__(here)
        self.search: Search | None = None
        self.new: Plan | None = None
        self._once_over = False  # something happened while a tape ran; planned again when it is over
        self._for_table = False  # what it waits for is no tape: the round of every second asks for its end
        self._unmarked_too = False  # a person said that what nobody marked is not done
        self.told_first: tuple[str, ...] = ()  # what the page of that plan says above all

    def opened(self) -> None:
        """What waited for that when the program was left is planned again, or once what runs is over."""
        if waits_since(self.home) is not None and self.home.search is None:
            self.here.call_after_refresh(self.replan, "so it was left")

    def action_replan(self) -> None:
        """Shows what a plan that was found meanwhile moves; else plans again from now."""
        from tui.asking.asking import AskYes

        late = self.home.unmarked_words()
        if self.new is not None and not late:
            self.offer(asked=True)
        elif not late:
            self.replan("")
        else:
            told = self.home.keyed(
                f"{late}. A plan made now takes all of it as not done: "
                "{ask.out}, then {tonight.catch_up} goes through it first."
            )
            question = AskYes("Plan again before that is marked?", told)
            self.home.push_screen(question, lambda yes: self.replan("", unmarked=True) if yes else None)

    def after_pass(self) -> None:
        """The tape is over: what waited for that is planned now."""
        if self._once_over:
            self.replan("")

    def replan(self, happened: str, *, unmarked: bool = False) -> None:
        """Plans again after what happened; the evening goes on meanwhile.

        While something runs on a deck or at the table it waits for its end, by key too: a plan made before
        would have it once more. While steps of earlier evenings are to be marked it waits for that, but where
        a person says that those are not done (``unmarked``).
        """
        home, kept = self.home, self.home.plan
        runs = self._what_runs()
        self._once_over = bool(runs)
        self._for_table = runs in {words for words, _ in table_work(home.shelf, home.now())}
        lead = f"{happened}; " if happened else ""
        if kept is not None:
            ask(home.book.path, home.now())  # until it is answered, also where the program is left before
        if runs and kept is not None:
            self.here.say(f"{lead}planned again when {runs} is over")
            return
        if kept is None:
            told = home.keyed("no plan is kept: {any.week} shows the week, {any.plan} plans there")
            self.here.say(f"{lead}{told}")
            return
        if self._marks_first(lead, unmarked=unmarked):
            return
        if home.search is not None and not (happened and home.search is self.search):
            self.here.say(f"{lead}planning goes on already")
            return
        if home.search is not None:  # begun before that happened: what it finds would not know of it
            home.search.stop(silently=True)
        days = days_to_reach(kept.until, home.now())
        self._unmarked_too = unmarked
        self.new = None
        self.search = home.search = Search(home.book, self.here, days, most=MOST, effort=EFFORT, stands=True)
        self.here.run_worker(self.search.run, thread=True, exclusive=True, group="plan", exit_on_error=False)
        self.here.say(f"{lead}{self._forgotten()}planning again, few moves ...")

    def _marks_first(self, lead: str, *, unmarked: bool = False) -> bool:
        """True, and said, where steps of earlier evenings are to be marked before anything is planned."""
        late = not unmarked and bool(self.home.unmarked())
        if late:
            self.new = None  # made before these were marked: it has them as not done
            told = f"{lead}{{tonight.catch_up}} first, for what was not marked; then planned again"
            self.here.say(self.home.keyed(told))
        return late

    def _what_runs(self) -> str:
        """The tape, the line-up or the table work that planning waits for; empty where nothing runs."""
        tape, shelf, now = self.here.running_tape(), self.home.shelf, self.home.now()
        if tape is not None:
            return tape.reel
        begun = [one.words for one in line_ups_running(shelf, now)]
        return next(iter([*begun, *(words for words, _ in table_work(shelf, now))]), "")

    def _forgotten(self) -> str:
        """What of this evening's table work runs far too long, so that planning waits for it no more."""
        long = table_work(self.home.shelf, self.home.now(), forgotten=True)
        told = (f"! {words} runs since {since:%H:%M}, planned as not done; " for words, since in long)
        return next(told, "")

    def ticked(self) -> None:
        """What waited for a repair, look or verify is planned once that is over, or was forgotten."""
        if self._for_table and self.here.is_on_top and not self._what_runs():
            self.after_pass()

    def searched(self, event: Searched) -> None:
        """The search has ended: what it found is offered, or waits for its key."""
        if event.search is not self.search:
            return
        self.search = self.home.search = None
        if event.plan is None:
            planned(self.home.book.path)
            self.home.say(f"no new plan: {event.trouble}", bad=True)
            return
        self.new = event.plan
        here = self.here.is_on_top  # a place under a question still counts as current to the library
        if here and self.here.running_tape() is not None:
            # A key for the tape must not be caught by a page that comes up by itself.
            self.home.say(self.home.keyed("planned again: {tonight.replan} shows what moves"))
        elif self.home.current_mode == "tonight":
            self.offer()
        else:
            self.home.say(self.home.keyed("planned again: {any.tonight} shows what moves"))

    def offer(self, *, asked: bool = False) -> None:
        """Says what moves, and asks whether to keep it; by itself never over what is being answered."""
        plan, kept = self.new, self.home.plan
        if plan is None or self._marks_first("", unmarked=self._unmarked_too):
            return
        if not asked and (not self.here.is_on_top or types_a_line(self.home)):
            self.home.say(self.home.keyed("planned again: {tonight.replan} shows what moves"))
            return
        self.new = None
        moved = plan.moved or (tuple(what_moved(kept, plan, self.home.shelf)) if kept is not None else ())
        songs = songs_compared(self.home.shelf, kept, plan) if kept is not None else []
        looks = looks_moved(kept, plan) if kept is not None else ""
        now = self.home.now()
        again = second_words(second_heats(self.home.shelf, plan, now))
        first = (*self.told_first, *([again] if again else []))
        page = MovedPage((*first, *songs, *moved, *([looks] if looks else [])), asked=asked)
        self.told_first = ()
        self.home.push_screen(page, lambda yes: self._keep(plan, len(moved)) if yes else self._leave())

    def _leave(self) -> None:
        planned(self.home.book.path)
        self.home.say(self.home.keyed("the plan stays as it was: {tonight.replan} plans again"))

    def _keep(self, plan: Plan, moves: int) -> None:
        home = self.home
        planned(home.book.path)
        prints = home.keyed("{any.print} prints its work order")
        said = f"the new plan is kept, {counted(moves, 'step')} moved: {prints}"
        home.do(lambda: home.book.plans.keep_plan(plan), said)
        self.here.laid()

    def came_back(self) -> None:
        """Coming back, a plan that was found meanwhile is offered."""
        if self.new is not None and self.here.running_tape() is None:
            self.here.call_after_refresh(self.offer)

    def closed(self) -> None:
        """A search that runs when the program ends is not listened to any more."""
        if self.search is not None:
            self.search.stop(silently=True)
