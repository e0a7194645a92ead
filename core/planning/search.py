"""The search: a list plan at once, then better lists, while time or effort remains."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from random import Random

from core.errors import ReelturnError
from core.plan import Plan
from core.planning.assemble import assemble
from core.planning.checker import violations
from core.planning.draft import Draft
from core.planning.fill import filled
from core.planning.lists import Order, cost, plan_order
from core.planning.orders import first_orders, improve
from core.planning.problem import Problem
from core.planning.reading import read_problem
from core.planning.whynot import whys
from core.planning.wishes import Wishes
from core.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Progress:
    """Where the search stands."""

    score: float
    bound: float
    gap: float
    seconds: float
    plan: Plan


class WrongPlan(ReelturnError):
    """The planner made a plan that breaks a rule; it is not handed out."""

    title = "The planner made a mistake"


@dataclass(slots=True)
class Search:
    """One planning: the problem, the best draft so far, the best bound so far."""

    shelf: Shelf
    start: datetime
    days: int
    wishes: Wishes
    problem: Problem = field(init=False)
    best: Draft = field(init=False)
    order: Order = field(init=False)
    bound: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        self.problem = read_problem(self.shelf, self.start, self.days)
        self.order = next(first_orders(self.problem))
        self.best = plan_order(self.problem, self.order)

    def by_seconds(
        self, seconds: float, progress: Callable[[Progress], None] | None, stop: Callable[[], bool] | None
    ) -> Plan:
        """Searches for so long by the clock."""
        began = time.monotonic()

        def over() -> bool:
            return time.monotonic() - began > seconds or (stop is not None and stop())

        if seconds > 0:
            self._lists(over)
            self.best, self.order = improve(self.problem, self.best, self.order, 1_000_000, Random(1), over)
        return self.finish(time.monotonic() - began)

    def by_effort(
        self, effort: float, progress: Callable[[Progress], None] | None, stop: Callable[[], bool] | None
    ) -> Plan:
        """Searches for so much work."""
        over = stop or (lambda: False)
        self._lists(over)
        rounds = int(effort * 20)
        self.best, self.order = improve(self.problem, self.best, self.order, rounds, Random(1), over)
        return self.finish(effort, f"{effort:g}")

    def _lists(self, over: Callable[[], bool]) -> None:
        least = cost(self.problem, self.best)
        for order in first_orders(self.problem):
            if over():
                return
            draft = plan_order(self.problem, order)
            got = cost(self.problem, draft)
            if got < least:
                self.best, self.order, least = draft, order, got

    def finish(self, seconds: float, effort: str = "") -> Plan:
        """The best plan as it is handed out: filled, worded, checked."""
        draft = filled(self.shelf, self.problem, self.best)
        plan = assemble(
            self.shelf,
            self.problem,
            draft,
            bound=self.bound,
            seconds=seconds,
            whys=whys(self.problem, draft),
            effort=effort,
        )
        wrong = violations(self.shelf, plan)
        if wrong:
            raise WrongPlan("; ".join(wrong[:3]))
        return plan
