"""The incumbent: the best plan so far and the best bound so far, handed to every way of searching."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from datetime import datetime
from fractions import Fraction
from random import Random

from core.plan import Plan
from core.planning.assemble import assemble
from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Draft, cost, score_of, ties
from core.planning.bench.follow import draft_of_plan, follow
from core.planning.bench.lists import Order, plan_order
from core.planning.bench.moves import LATER, Told, told_of, what_stays
from core.planning.bench.orders import first_orders
from core.planning.facts.problem import Problem
from core.planning.rules.checker import violations
from core.planning.time_left import Clock
from core.planning.wishes.wished import read_plain, wished
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf
from core.values import dataclass

SEED = 1
ALL_MOVED = Fraction(1, 20)  # of the score: what it costs to move all of the kept plan
STEEP = 6  # by how much more the first move costs than all do on average


class NotMade(Exception):
    """What was lined up cannot stand at the head of the plan: it is to be planned from now on."""


@dataclass(frozen=True, slots=True)
class Progress:
    """Where the search stands: figures, seconds since it began, and the best plan so far."""

    score: float
    bound: float
    gap: float
    seconds: float
    plan: Plan


@dataclass(slots=True)
class Incumbent:
    """One problem, the best draft of it so far, the best bound so far, and the time that is left."""

    shelf: Shelf
    start: datetime
    days: int
    wishes: Wishes
    progress: Callable[[Progress], None] | None = None
    plain: Problem | None = None  # where it was read before: with the same slack
    base: Problem = field(init=False)  # without the wishes, for the bound
    problem: Problem = field(init=False)
    kept: Draft | None = None
    fitting: Draft | None = None
    floor: Fraction | None = None  # what the kept plan still costs
    best: Draft = field(init=False)
    order: Order = field(init=False)
    price: Fraction = Fraction(0)  # of moving an item of the kept plan
    items: Fraction = Fraction(0)  # of it, weighed as moves are
    told: Told = field(default_factory=lambda: Told({}))
    bound: Fraction = Fraction(0)
    waits: dict[bool, Fraction] = field(default_factory=dict)  # what reels wait at least, line-ups in or not
    dice: Random = field(default_factory=lambda: Random(SEED))
    refused: list[str] = field(default_factory=list)
    clock: Clock = field(init=False)

    def __post_init__(self) -> None:
        self.clock = Clock(0, False, None)
        self.base = self.plain or read_plain(self.shelf, self.start, self.days, self.wishes)
        self.problem = wished(self.base, self.wishes)
        if len(self.problem.made) < len(self.wishes.made):
            raise NotMade("a plan cannot begin with these line-ups")
        self.order = next(first_orders(self.problem))
        if self.wishes.kept is not None:
            self.kept = draft_of_plan(self.problem, self.wishes.kept)
            self.fitting = tidy(self.problem, follow(self.problem, self.kept, exact=True))
            self.best = self.fitting
            self.floor = what_stays(self.problem, self.kept, self.fitting)
            self.told = told_of(self.problem, self.wishes.kept, self.wishes.left)
            self.items = self.told.moved(Draft())
            self.price = self._price()
        else:
            self.best = tidy(self.problem, plan_order(self.problem, self.order))

    def rank(self, draft: Draft) -> tuple[Fraction, int, int, int]:
        """What drafts are compared by: cost, then line-ups, then evenings, then second warmings."""
        return (self.cost(draft), *ties(self.problem, draft))

    def cost(self, draft: Draft) -> Fraction:
        """The score in hundredths of priority-minutes, and the price of what moves."""
        return cost(self.problem, draft) + (6000 * self._calm(draft) if self.price else 0)

    def _calm(self, draft: Draft) -> Fraction:
        """What its moves cost: the first six times what they cost on average, the last next to nothing.

        Three of thirty cost about two hundredths of the score so, and all of them a twentieth.
        """
        moved = self.told.moved(draft)
        if self.wishes.price is not None or not self.items:
            return self.price * moved
        return self.price * self.items * (1 - (1 - moved / self.items) ** STEEP)

    @property
    def next_price(self) -> Fraction:
        """What one more move costs beside those of the best plan."""
        if self.wishes.price is not None or not self.items:
            return self.price
        return self.price * STEEP * (1 - self.told.moved(self.best) / self.items) ** (STEEP - 1)

    def _price(self) -> Fraction:
        """What a moved item costs: as asked, else its part of what it costs to move all that is kept.

        So calm never costs more of the score than that share of it, however few or many items there are.
        """
        if self.wishes.price is not None:
            return Fraction(self.wishes.price)
        kept = self.wishes.kept
        score = score_of(self.problem, self.best)
        least = min(score, Fraction(kept.score) if kept else score)
        return least * ALL_MOVED / self.items if self.items else Fraction(0)

    def offer(self, draft: Draft, order: Order | None = None) -> bool:
        """Takes a draft if it is better and keeps the rules; tells whoever listens."""
        draft = tidy(self.problem, draft)
        if not self._gains(draft) or not self.keeps_rules(draft):
            return False
        self.best, self.order = draft, order or self.order
        self.tell()
        return True

    def lean_on(self, draft: Draft) -> bool:
        """Takes a draft if it is better, on trust: whoever goes on from it asks ``holds`` in the end.

        To check a plan takes as long as ten ways to make another.
        """
        draft = tidy(self.problem, draft)
        if not self._gains(draft):
            return False
        self.best = draft
        return True

    def holds(self, before: Draft) -> bool:
        """Whether what was taken on trust keeps the rules; else the plan from before is the best again."""
        if self.best is before:
            return True
        if not self.keeps_rules(self.best):
            self.best = before
            return False
        self.tell()
        return True

    def _gains(self, draft: Draft) -> bool:
        return self.rank(draft) < self.rank(self.best) and not self._worse_than_kept(draft)

    def _worse_than_kept(self, draft: Draft) -> bool:
        """True for a draft that scores worse than what the kept plan still does."""
        return self.floor is not None and cost(self.problem, draft) > self.floor

    def keeps_rules(self, draft: Draft) -> bool:
        """True if the plan that the draft makes passes the checker."""
        if not self._from_now_on(draft):
            return False
        wrong = violations(self.shelf, self.plan_of(draft))
        self.refused += wrong
        return not wrong

    def _from_now_on(self, draft: Draft) -> bool:
        """True where nothing is before the plan's line-ups are over that were made, but for those."""
        now, made = self.problem.now, {(one.deck, one.start) for one in self.problem.made}
        early = (step for step in draft.steps if step.start < now)
        works = any(step.kind != "align" or (step.deck, step.start) not in made for step in early)
        return not works and all(load.start >= now for load in draft.loads)

    def raise_bound(self, bound: Fraction | None) -> None:
        """Takes a proven bound if it is better."""
        if bound is not None and bound > self.bound:
            self.bound = bound
            self.tell()

    def raise_own(self, bound: Fraction | None) -> None:
        """Takes a bound that the wishes are in: the plan's own speaks of plans without any."""
        if not self.wishes.restrict:
            self.raise_bound(bound)

    def worth_moving(self) -> bool:
        """True while a plan could exist that is better by more than the least that moves."""
        return self.cost(self.best) / 6000 - self.bound > self.price * LATER

    def closed(self) -> bool:
        """True if the best plan is proven to be best."""
        return self.bound >= score_of(self.problem, self.best) - Fraction(1, 20000)

    def tell(self) -> None:
        """Hands the best so far to whoever listens."""
        if self.progress is not None:
            plan = self.plan_of(self.best)
            self.progress(Progress(plan.score, plan.bound, plan.gap, self.clock.used, plan))

    def plan_of(
        self, draft: Draft, reasons: dict[str, str] | None = None, seconds: float = 0.0, effort: str = ""
    ) -> Plan:
        """The plan that a draft makes."""
        return assemble(
            self.shelf,
            self.problem,
            draft,
            bound=self.bound,
            seconds=seconds,
            whys=reasons or {},
            effort=effort,
        )

    @property
    def cells(self) -> int:
        """Reels to be worked on, times evenings."""
        return len(self.problem.work) * len(self.problem.windows)
