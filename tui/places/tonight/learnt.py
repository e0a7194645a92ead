"""Handling times as they really came out, and taking them in."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual.binding import BindingType
from textual.widget import Widget

from core.evening.learnt import ENOUGH, Learnt, give_back, learnt, take_in
from core.shelf import Shelf
from core.words import often
from tui.asking.asking import Question
from tui.asking.choosing import Choices
from tui.keys.keys import bindings
from tui.keys.words import Told

NAMES = {
    "identify": "look at a tape",
    "load": "thread, put away",
    "clean": "clean after it",
    "splice": "remake a joint",
    "verify": "verify",
    "line-up": "line-up of",
    "touch-up": "touch-up of",
}


class AskLearnt(Question[None]):
    """What was planned, what it took, how often it was seen; Enter takes the line in."""

    BINDINGS: ClassVar[list[BindingType]] = bindings("learnt")
    FOOT = "{ask.yes} takes it in, for the next plan   {learnt.back} gives it back   {ask.out} leaves"

    def __init__(self) -> None:
        super().__init__(
            "What steps really take",
            f"Medians of what was done; from {ENOUGH} times on they can go into the studio's minutes.",
        )
        self.found: dict[str, Learnt] = {}

    def answers(self) -> Iterable[Widget]:
        """One line a handling time, and one for each set-up of a line-up; those seen too seldom say so."""
        self.found = {one.name: one for one in learnt(self.home.shelf)}
        choices, why_not = [], {}
        for one in self.found.values():
            choices.append((one.name, in_words(one)))
            if not one.enough:
                why_not[one.name] = "too few"
            for setup, minutes, times in one.by_setup if len(one.by_setup) > 1 else ():
                key = f"{one.name} {setup}"
                choices.append((key, f"   to {setup}: took {minutes:g}, {often(times)}"))
                why_not[key] = "one time a deck is planned with"
        nothing = ("", "nothing is known yet: it is learnt from steps started and finished")
        yield Choices(choices or [nothing], why_not=why_not)

    @property
    def here(self) -> Learnt | None:
        """The time under the cursor; Refused words go to the line below."""
        return self.found.get(self.query_one(Choices).chosen)

    def action_yes(self) -> None:
        """Takes the line under the cursor in."""
        listed, one = self.query_one(Choices), self.here
        if one is None or not one.enough:
            few = f"seen {one.times} times, {ENOUGH} are wanted" if one is not None else ""
            self.trouble(few or listed.why_not.get(listed.chosen, "there is nothing to take in yet"))
            return
        self._change(lambda shelf: take_in(shelf, one), f"take in {name_of(one)}: {round(one.minutes)} min")

    def action_back(self) -> None:
        """Gives the time under the cursor back as it was before it was taken in."""
        one = self.here
        if one is None or one.before is None:
            self.trouble("this time was not taken in: it is as the studio's file had it")
            return
        self._change(lambda shelf: give_back(shelf, one), f"give back {name_of(one)}: {one.before:g} min")

    def _change(self, act: Callable[[Shelf], Shelf], what: str) -> None:
        home = self.home
        self.dismiss(None)
        then = home.keyed("{any.plan} plans with it; {any.undo} takes it back")
        home.do(lambda: home.book.change(act, what=what), Told(f"{what}. {then}", undoes=True))


def name_of(one: Learnt) -> str:
    """``line-up of D1``, ``look at a tape``."""
    deck, _, what = one.name.rpartition(":")
    return f"{NAMES.get(what, what)} {deck}" if deck else NAMES.get(one.name, one.name)


def in_words(one: Learnt) -> str:
    """``line-up of D1: planned 40 min, took 47, give or take 4, 6 times``."""
    planned = f"{one.planned:g}" + (f" (was {one.before:g})" if one.before is not None else " min")
    took = f"took {one.minutes:g}, give or take {one.spread:g}, {often(one.times)}"
    return f"{name_of(one)}: planned {planned}, {took}"
