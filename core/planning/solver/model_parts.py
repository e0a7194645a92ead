"""The parts of the solver's model: a step, a job, a slot and a load with their variables."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from core.plan import Kind
from core.planning.facts.problem import Job

Expr = Any


@dataclass(slots=True)
class StepVar:
    """A step: start, size, end, and a literal for each cell (deck, window, run) it may lie in."""

    start: Expr
    size: Expr
    end: Expr
    cells: dict[tuple[int, int, int], Expr] = field(default_factory=dict)
    fixed_window: int = -1

    def windows(self) -> dict[int, Expr]:
        """By window, whether the step is in it."""
        if self.fixed_window >= 0:
            return {self.fixed_window: 1}
        out: dict[int, Expr] = {}
        for (_, window, _), literal in self.cells.items():
            out[window] = out[window] + literal if window in out else literal
        return out


@dataclass(slots=True)
class JobVar:
    """A reel: whether it is done, its steps by kind and part, whether it is warmed in this plan."""

    job: Job
    done: Expr
    steps: dict[tuple[Kind, int], StepVar] = field(default_factory=dict)
    warmed: Expr = 0
    heat_start: Expr | None = None  # of a load that stays
    members: dict[int, Expr] = field(default_factory=dict)  # load -> literal


@dataclass(slots=True)
class Slot:
    """Room for one line-up on a deck in a window: absent, full or touch-up, to one of the set-ups."""

    deck: int
    window: int
    start: Expr
    full: Expr
    touch_up: Expr
    full_to: dict[int, Expr]
    touch_to: dict[int, Expr]
    minutes: tuple[int, int]

    @property
    def end(self) -> Expr:
        """When it is done; its start where it is absent."""
        return self.start + self.minutes[0] * self.full + self.minutes[1] * self.touch_up

    def on(self, setup: int) -> Expr:
        """Whether it lines up to that set-up."""
        return self.full_to.get(setup, 0) + self.touch_to.get(setup, 0)


@dataclass(slots=True)
class LoadVar:
    """Room for one load in a chamber and a stretch at home."""

    chamber: int
    home: int
    start: Expr
    there: Expr
    heats: dict[int, Expr]  # slots of warmth -> whether a member wants them
    members: dict[int, Expr]  # job -> literal
    first: int = 0  # slots in which it may start
    last: int = 0
