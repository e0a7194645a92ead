"""The search: a list plan at once, better lists, then the solver on the whole or piece by piece."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime
from fractions import Fraction
from random import Random

from core.plan import Move, Plan
from core.planning.assemble import assemble
from core.planning.bench.calibration import tidy
from core.planning.bench.draft import Draft, cost, ends_of, score_of, ties
from core.planning.bench.fill import filled
from core.planning.bench.follow import draft_of_plan, follow
from core.planning.bench.lists import Order, plan_order
from core.planning.bench.moves import (
    Key,
    barred_since,
    moved_weight,
    moved_words,
    moves,
    starts_of,
    what_stays,
)
from core.planning.bench.orders import first_orders
from core.planning.bench.settle import settled
from core.planning.bench.whynot import whys
from core.planning.bounds.bounds import quick_bound
from core.planning.by_lists import change_lists, enter_anew, songs_alone, try_lists, turn_over
from core.planning.facts.problem import Problem
from core.planning.rules.checker import violations
from core.planning.time_left import Clock
from core.planning.wishes.wished import read_plain, unmet, wished
from core.planning.wishes.wishes import Wishes
from core.shelf import Shelf

SEED = 1
PRICE_SHARE, LEAST_PRICE = Fraction(1, 40), Fraction(5)  # of a moved item, where nobody names a price
SMALL = 450  # reels to be worked on, times evenings: up to here the solver takes the whole


@dataclass(frozen=True, slots=True)
class Progress:
    """Where the search stands: figures, seconds since it began, and the best plan so far."""

    score: float
    bound: float
    gap: float
    seconds: float
    plan: Plan


@dataclass(slots=True)
class Search:
    """One planning: the problem, the best draft so far, the best bound so far."""

    shelf: Shelf
    start: datetime
    days: int
    wishes: Wishes
    progress: Callable[[Progress], None] | None = None
    base: Problem = field(init=False)  # without the wishes, for the bound
    problem: Problem = field(init=False)
    kept: Draft | None = None
    fitting: Draft | None = None
    floor: Fraction | None = None  # what the kept plan still costs
    best: Draft = field(init=False)
    order: Order = field(init=False)
    price: Fraction = Fraction(0)  # of moving an item of the kept plan
    kept_at: dict[Key, int] = field(default_factory=dict)
    bound: Fraction = Fraction(0)
    dice: Random = field(default_factory=lambda: Random(SEED))
    refused: list[str] = field(default_factory=list)
    clock: Clock = field(init=False)

    def __post_init__(self) -> None:
        self.clock = Clock(0, False, None)
        self.base = read_plain(self.shelf, self.start, self.days, self.wishes)
        self.problem = wished(self.base, self.wishes)
        self.order = next(first_orders(self.problem))
        if self.wishes.kept is not None:
            self.kept = draft_of_plan(self.problem, self.wishes.kept)
            self.fitting = tidy(self.problem, follow(self.problem, self.kept, exact=True))
            self.best = self.fitting
            self.floor = what_stays(self.problem, self.kept, self.fitting)
            self.kept_at = starts_of(self.kept)
            self.price = self._price()
        else:
            self.best = tidy(self.problem, plan_order(self.problem, self.order))

    def rank(self, draft: Draft) -> tuple[Fraction, int, int]:
        """What drafts are compared by: cost, then line-ups, then evenings."""
        return (self.cost(draft), *ties(self.problem, draft))

    def cost(self, draft: Draft) -> Fraction:
        """The score in hundredths of priority-minutes, and the price of what moves."""
        moved = 6000 * self.price * moved_weight(self.kept_at, draft) if self.price else 0
        return cost(self.problem, draft) + moved

    def _price(self) -> Fraction:
        """What a moved item costs: as asked, else a share of the score, so that a calm plan stays near it."""
        if self.wishes.price is not None:
            return Fraction(self.wishes.price)
        kept = self.wishes.kept
        score = score_of(self.problem, self.best)
        return max(LEAST_PRICE, min(score, Fraction(kept.score) if kept else score) * PRICE_SHARE)

    def run(self, limit: float, *, by_effort: bool, stop: Callable[[], bool] | None) -> Plan:
        """Searches for so many seconds or so much effort; nothing of either gives the first plan."""
        began = self.clock.began  # reading counts too; to finish takes up to twice as long
        spare = 0.0 if by_effort else min(2 * (time.monotonic() - began), limit / 8)
        self.clock = Clock(limit - spare, by_effort, stop, began)
        self.raise_bound(quick_bound(self.base))
        if limit > 0 and self.problem.work and self.problem.windows:
            self._lists()
            self._solve()
        used = self.clock.used
        made = self.finish(used, f"{limit:g}" if by_effort else "")
        return replace(made, searched=limit)

    # --- steps ------------------------------------------------------------------------------------------

    def _lists(self) -> None:
        """Lists, and reels entered anew, for a part of the time that is larger where the solver sees less."""
        limit = self.clock.limit
        if self.kept is not None:
            enter_anew(self, 0.5 * limit)
            turn_over(self)
            return
        try_lists(self)
        if self.cells <= SMALL:
            change_lists(self, min(0.03 * limit, 4.0))
            enter_anew(self, min(0.15 * limit, 1.0))
        else:
            change_lists(self, min(0.02 * limit, 2.0))
            songs_alone(self, 0.15 * limit)

    @property
    def cells(self) -> int:
        """Reels to be worked on, times evenings."""
        return len(self.problem.work) * len(self.problem.windows)

    def _solve(self) -> None:
        from core.planning.solving import improve_pieces, solve_whole

        if self.cells <= SMALL and self.kept is None:
            solve_whole(self)
        else:
            improve_pieces(self)

    # --- what the steps call ----------------------------------------------------------------------------

    def offer(self, draft: Draft, order: Order | None = None) -> bool:
        """Takes a draft if it is better and keeps the rules; tells whoever listens."""
        draft = tidy(self.problem, draft)
        if self.rank(draft) >= self.rank(self.best) or self._worse_than_kept(draft):
            return False
        if not self.keeps_rules(draft):
            return False
        self.best, self.order = draft, order or self.order
        self.tell()
        return True

    def _worse_than_kept(self, draft: Draft) -> bool:
        """True for a draft that scores worse than what the kept plan still does."""
        return self.floor is not None and cost(self.problem, draft) > self.floor

    def keeps_rules(self, draft: Draft) -> bool:
        """True if the plan that the draft makes passes the checker."""
        wrong = violations(self.shelf, self._plan(draft, {}))
        self.refused += wrong
        return not wrong

    def raise_bound(self, bound: Fraction | None) -> None:
        """Takes a proven bound if it is better."""
        if bound is not None and bound > self.bound:
            self.bound = bound
            self.tell()

    def raise_own(self, bound: Fraction | None) -> None:
        """Takes a bound that the wishes are in: the plan's own speaks of plans without any."""
        if not self.wishes.restrict:
            self.raise_bound(bound)

    def closed(self) -> bool:
        """True if the best plan is proven to be best."""
        return self.bound >= score_of(self.problem, self.best) - Fraction(1, 20000)

    def tell(self) -> None:
        """Hands the best so far to whoever listens."""
        if self.progress is not None:
            plan = self._plan(self.best, {})
            self.progress(Progress(plan.score, plan.bound, plan.gap, self.clock.used, plan))

    def _plan(self, draft: Draft, reasons: dict[str, str], seconds: float = 0.0, effort: str = "") -> Plan:
        return assemble(
            self.shelf,
            self.problem,
            draft,
            bound=self.bound,
            seconds=seconds,
            whys=reasons,
            effort=effort,
        )

    def finish(self, seconds: float, effort: str = "") -> Plan:
        """The best plan as it is handed out: filled, worded, checked."""
        draft = filled(self.shelf, self.problem, self._settled(tidy(self.problem, self.best)))
        reasons = whys(self.problem, draft)
        plan = self._plan(draft, reasons, seconds, effort)
        wrong = violations(self.shelf, plan)
        if not wrong:
            return self._with_moves(plan, draft)
        self.refused += wrong
        for spare in (self.best, plan_order(self.problem, self.order), Draft()):
            plan = self._plan(spare, reasons, seconds, effort)
            if not violations(self.shelf, plan):
                break
        return plan

    def _settled(self, draft: Draft) -> Draft:
        """The draft as early as it can be; one that is under way stays where it is."""
        if self.kept is not None:
            return draft
        at_once = not self.clock.limit and self.cells > SMALL  # a first plan of many reels is not waited for
        new = tidy(self.problem, settled(self.problem, draft, at_once=at_once))
        return new if self.rank(new) <= self.rank(draft) else draft

    def _with_moves(self, plan: Plan, draft: Draft) -> Plan:
        """The plan with what moved against the kept plan and why, and which wishes are not met."""
        if not self.wishes.bind:
            return plan
        told: list[Move] = []
        if self.kept is not None and self.fitting is not None and self.wishes.kept is not None:
            told = moves(self.problem, self.kept, self.fitting, draft)
            told += barred_since(self.problem, self.wishes.kept)
        return replace(plan, moved=(*self._unmet(draft), *moved_words(told)), moves=tuple(told))

    def _unmet(self, draft: Draft) -> list[str]:
        """Which wishes the draft does not meet."""
        transfers: dict[str, list[int]] = {}
        for step in draft.steps:
            if step.kind == "transfer":
                transfers.setdefault(self.problem.jobs[step.job].key, []).append(step.start)
        return unmet(self.problem, self.wishes, transfers, ends_of(draft))

    def undone(self) -> int:
        """How many reels are left over that could have been worked on."""
        return len(self.problem.work) - len(ends_of(self.best))
