"""Handling times as they really came out, and taking them in."""

from __future__ import annotations

from collections.abc import Iterable

from textual.widget import Widget

from core.evening.learnt import ENOUGH, Learnt, learnt, take_in
from tui.screens.asking import Question
from tui.screens.choosing import Choices

NAMES = {
    "identify": "look at a tape",
    "load": "thread a tape and set levels",
    "line-up": "line-up of",
    "touch-up": "touch-up of",
}


class AskLearnt(Question[None]):
    """What was planned, what it took, how often it was seen; Enter takes the line in."""

    FOOT = "Up and Down move   Enter takes it in, for the next plan   Esc leaves"

    def __init__(self) -> None:
        super().__init__(
            "What steps really take",
            f"Medians of what was done; from {ENOUGH} times on they can go into the studio's minutes.",
        )
        self.found: dict[str, Learnt] = {}

    def answers(self) -> Iterable[Widget]:
        """One line a handling time; those seen too seldom say so."""
        self.found = {one.name: one for one in learnt(self.home.shelf)}
        choices = [(one.name, in_words(one)) for one in self.found.values()]
        few = {
            one.name: f"seen {one.times} times, {ENOUGH} are wanted"
            for one in self.found.values()
            if not one.enough
        }
        yield Choices(
            choices or [("", "nothing is known yet: it is learnt from steps started and finished")],
            why_not=few,
        )

    def action_yes(self) -> None:
        """Takes the line under the cursor in."""
        listed = self.query_one(Choices)
        one = self.found.get(listed.chosen)
        if one is None or listed.chosen in listed.why_not:
            self.trouble(listed.why_not.get(listed.chosen, "there is nothing to take in yet"))
            return
        home = self.home
        what = f"take in {name_of(one)}: {round(one.minutes)} min"
        self.dismiss(None)
        home.do(
            lambda: home.book.change(lambda shelf: take_in(shelf, one), what=what), f"{what}. U takes it back"
        )


def name_of(one: Learnt) -> str:
    """``line-up of D1``, ``look at a tape``."""
    deck, _, what = one.name.rpartition(":")
    return f"{NAMES.get(what, what)} {deck}" if deck else NAMES.get(one.name, one.name)


def in_words(one: Learnt) -> str:
    """``line-up of D1: planned 40 min, took 47 min, give or take 4, seen 6 times``."""
    return (
        f"{name_of(one)}: planned {one.planned:g} min, took {one.minutes:g}, "
        f"give or take {one.spread:g}, {one.times} times"
    )
