"""What one evening can hold at most: transfers behind line-ups, chosen by value, by dynamic programming.

An evening of a deck is a few set-ups, each with its line-up, and transfers of reels that want it. The deck's
first line-up counts as a touch-up; further ones are full and lie in the time for those.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.planning.problem import Problem, Window

Table = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
NEVER = -1e18


@dataclass(frozen=True, slots=True)
class Kind:
    """Evenings that are alike: slots in all, and by deck slots it may run and full line-ups that fit."""

    slots: int
    runs: tuple[int, ...]
    fulls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A transfer that may be chosen: its number, deck, set-up, slots, and its value."""

    item: int
    deck: int
    setup: int
    slots: int
    value: float


@dataclass(frozen=True, slots=True)
class Pattern:
    """A choice: its value less what its time costs, the items, and the slots taken, line-ups included."""

    value: float
    items: tuple[int, ...]
    slots: int


def kind_of(problem: Problem, window: Window) -> Kind:
    """What kind of evening a window is."""
    grid = problem.scale.grid
    runs, fulls = [], []
    for facts in problem.decks:
        runs.append(sum(b - a for a, b in facts.runs[window.index]) // grid)
        room = sum((b - a) // max(1, facts.full) for a, b in facts.full_runs[window.index])
        fulls.append(min(4, room) if facts.full else 4)
    return Kind(window.minutes // grid, tuple(runs), tuple(fulls))


def best_pattern(problem: Problem, kind: Kind, wanted: list[Wanted], cost: float) -> Pattern:
    """The best choice for an evening of that kind, where each slot taken costs ``cost``."""
    grid = problem.scale.grid
    total = _nothing(kind.slots)
    for deck, facts in enumerate(problem.decks):
        own = [one for one in wanted if one.deck == deck and one.value > cost * one.slots]
        room = min(kind.slots, kind.runs[deck])
        if own and room > 0:
            sizes = (facts.full // grid, min(facts.touch_up, facts.full) // grid)
            total = Sum(total, _on_deck(own, room, sizes, kind.fulls[deck], cost), kind.slots)
    best = int(np.argmax(total.values))
    return Pattern(float(total.values[best]), tuple(total.items(best)), best)


class Choice:
    """By slots taken exactly, the best value; ``items`` tells what was chosen for it."""

    values: Table

    def items(self, slots: int) -> list[int]:
        """The transfers of the best choice of so many slots."""
        raise NotImplementedError


class Knapsack(Choice):
    """Transfers of one set-up behind its line-up (``line_up`` slots, taken off in front)."""

    def __init__(self, own: list[Wanted], room: int, cost: float) -> None:
        self.own = own
        self.values = _empty(room)
        self.took = np.zeros((len(own), room + 1), dtype=bool)
        for place, one in enumerate(own):
            if one.slots > room:
                continue
            tried = self.values[: room + 1 - one.slots] + (one.value - cost * one.slots)
            better = tried > self.values[one.slots :]
            self.took[place, one.slots :] = better
            self.values[one.slots :] = np.where(better, tried, self.values[one.slots :])

    def items(self, slots: int) -> list[int]:
        """The transfers of the best choice of so many slots."""
        names = []
        for place in range(len(self.own) - 1, -1, -1):
            if self.took[place, slots]:
                names.append(self.own[place].item)
                slots -= self.own[place].slots
        return names


class Behind(Choice):
    """A choice behind a line-up, which takes slots of its own."""

    def __init__(self, what: Choice, line_up: int, cost: float) -> None:
        room = len(what.values) - 1
        self.what, self.line_up = what, line_up
        self.values = np.full(room + 1, NEVER)
        if line_up <= room:
            self.values[line_up:] = what.values[: room + 1 - line_up] - cost * line_up

    def items(self, slots: int) -> list[int]:
        """The transfers of the best choice of so many slots."""
        return self.what.items(slots - self.line_up)


class Sum(Choice):
    """Two choices together."""

    def __init__(self, a: Choice, b: Choice, room: int) -> None:
        self.a, self.b = a, b
        self.values = np.full(room + 1, NEVER)
        self.split = np.zeros(room + 1, dtype=np.int64)
        for taken in (int(t) for t in np.flatnonzero(b.values[: room + 1] > NEVER / 2)):
            length = min(len(a.values), room + 1 - taken)
            tried = a.values[:length] + b.values[taken]
            part = self.values[taken : taken + length]
            better = tried > part
            self.split[taken : taken + length][better] = taken
            np.copyto(part, tried, where=better)

    def items(self, slots: int) -> list[int]:
        """The transfers of the best choice of so many slots."""
        taken = int(self.split[slots])
        return self.a.items(slots - taken) + self.b.items(taken)


class Either(Choice):
    """The better of two choices, by slots taken."""

    def __init__(self, a: Choice, b: Choice) -> None:
        self.a, self.b = a, b
        self.second = b.values > a.values
        self.values = np.where(self.second, b.values, a.values)

    def items(self, slots: int) -> list[int]:
        """The transfers of the best choice of so many slots."""
        return (self.b if self.second[slots] else self.a).items(slots)


def _empty(room: int) -> Table:
    values: Table = np.full(room + 1, NEVER)
    values[0] = 0.0
    return values


def _nothing(room: int) -> Choice:
    return Knapsack([], room, 0.0)


def _on_deck(own: list[Wanted], room: int, sizes: tuple[int, int], fulls: int, cost: float) -> Choice:
    """The best choice on one deck: at most so many set-ups as line-ups fit, the first behind a touch-up."""
    full, touch = sizes
    setups = sorted({one.setup for one in own})
    most = min(len(setups), 1 + fulls)
    levels: list[Choice | None] = [_nothing(room)] + [None] * most
    for setup in setups:
        plays = Knapsack([one for one in own if one.setup == setup], room, cost)
        for level in range(most, 0, -1):
            below = levels[level - 1]
            if below is None:
                continue
            more = Sum(below, Behind(plays, touch if level == 1 else full, cost), room)
            known = levels[level]
            levels[level] = more if known is None else Either(known, more)
    best: Choice = _nothing(room)
    for one in levels[1:]:
        if one is not None:
            best = Either(best, one)
    return best
