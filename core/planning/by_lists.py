"""What a search does without the solver: a dozen lists, random changes to them, reels entered anew."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from core.planning.bench.draft import ends_of
from core.planning.bench.lists import plan_order
from core.planning.bench.moves import moved_weight
from core.planning.bench.orders import first_orders, improve
from core.planning.bench.recreate import entered_behind, improve_rounds, without

if TYPE_CHECKING:
    from core.planning.search import Search

DOZEN = 0.25  # of the time, at most, for the dozen lists
TENTH = Fraction(1, 10)
BURST = 5.0  # seconds or effort after which a better plan is handed on


def try_lists(search: Search) -> None:
    """The dozen lists, each offered."""
    clock = search.clock
    began = clock.used
    for order in first_orders(search.problem):
        if clock.over() or clock.used - began > clock.limit * DOZEN:
            break
        draft = plan_order(search.problem, order)
        search.offer(draft, order)
        clock.spent += list_effort(search)


def turn_over(search: Search) -> None:
    """A list that lets nothing stand: better by a tenth than the plan so far, or better and no less calm."""
    clock = search.clock
    began, calm = clock.used, search.cost(search.best)
    moved = moved_weight(search.kept_at, search.best)
    for order in first_orders(search.problem):
        if clock.over() or clock.used - began > clock.limit * DOZEN:
            break
        draft = plan_order(search.problem, order)
        clock.spent += list_effort(search)
        calmer = moved_weight(search.kept_at, draft) <= moved
        if search.cost(draft) < calm * (1 if calmer else 1 - TENTH):
            search.offer(draft, order)


def change_lists(search: Search, amount: float) -> None:
    """Random changes to the best list for so many seconds or so much effort."""
    left = search.clock.portion(amount, list_effort(search))
    draft, order = improve(search.problem, search.best, search.order, search.dice, left)
    search.offer(draft, order)


def enter_anew(search: Search, amount: float) -> None:
    """Reels taken out of the best plan and entered anew, for so many seconds or so much effort."""
    clock = search.clock
    ends = ends_of(search.kept) if search.kept is not None else {}
    until = clock.used + min(amount, clock.left)
    while not clock.over() and clock.used < until:
        left = clock.portion(min(BURST, max(0.01, until - clock.used)), round_effort(search))
        search.offer(improve_rounds(search.problem, search.best, search.cost, search.dice, left, ends))


def songs_alone(search: Search, amount: float) -> None:
    """The same for the reels that songs need, with no other in the way; those are entered behind."""
    clock, problem = search.clock, search.problem
    if not problem.for_songs:
        enter_anew(search, amount)
        return
    others = frozenset(job.index for job in problem.work) - problem.for_songs
    draft = without(problem, search.best, others)
    until = clock.used + min(amount, clock.left)
    while not clock.over() and clock.used < until:
        left = clock.portion(min(BURST, max(0.01, until - clock.used)), round_effort(search, len(others)))
        draft = improve_rounds(problem, draft, search.cost, search.dice, left, leave=others)
        search.offer(entered_behind(problem, draft))


def list_effort(search: Search) -> float:
    """What one list costs, counted in seconds of a quiet machine."""
    jobs, windows = len(search.problem.work), len(search.problem.windows)
    return 0.0004 + 0.00011 * jobs + 0.0000008 * jobs * windows


def round_effort(search: Search, without: int = 0) -> float:
    """What it costs to take reels out and enter them anew, in the same measure; so many are left out."""
    return 0.0006 + 0.000024 * (len(search.problem.work) - without)
