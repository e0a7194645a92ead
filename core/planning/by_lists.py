"""What a search does without the solver: a dozen lists, random changes to them, reels entered anew."""

from __future__ import annotations

from fractions import Fraction

from core.planning.bench.draft import ends_of
from core.planning.bench.lists import plan_order
from core.planning.bench.moves import moved_weight
from core.planning.bench.orders import first_orders, improve
from core.planning.bench.recreate import entered_behind, improve_rounds, without
from core.planning.incumbent import Incumbent

DOZEN = 0.25  # of the time, at most, for the dozen lists
TENTH = Fraction(1, 10)
BURST = 5.0  # seconds or effort after which a better plan is handed on


def try_lists(so_far: Incumbent) -> None:
    """The dozen lists, each offered."""
    clock = so_far.clock
    began = clock.used
    for order in first_orders(so_far.problem):
        if clock.over() or clock.used - began > clock.limit * DOZEN:
            break
        draft = plan_order(so_far.problem, order)
        so_far.offer(draft, order)
        clock.spent += list_effort(so_far)


def turn_over(so_far: Incumbent) -> None:
    """A list that lets nothing stand: better by a tenth than the plan so far, or better and no less calm."""
    clock = so_far.clock
    began, calm = clock.used, so_far.cost(so_far.best)
    moved = moved_weight(so_far.kept_at, so_far.best)
    for order in first_orders(so_far.problem):
        if clock.over() or clock.used - began > clock.limit * DOZEN:
            break
        draft = plan_order(so_far.problem, order)
        clock.spent += list_effort(so_far)
        calmer = moved_weight(so_far.kept_at, draft) <= moved
        if so_far.cost(draft) < calm * (1 if calmer else 1 - TENTH):
            so_far.offer(draft, order)


def change_lists(so_far: Incumbent, amount: float) -> None:
    """Random changes to the best list for so many seconds or so much effort."""
    left = so_far.clock.portion(amount, list_effort(so_far))
    draft, order = improve(so_far.problem, so_far.best, so_far.order, so_far.dice, left)
    so_far.offer(draft, order)


def enter_anew(so_far: Incumbent, amount: float) -> None:
    """Reels taken out of the best plan and entered anew, for so many seconds or so much effort."""
    clock = so_far.clock
    ends = ends_of(so_far.kept) if so_far.kept is not None else {}
    until = clock.used + min(amount, clock.left)
    while not clock.over() and clock.used < until:
        left = clock.portion(min(BURST, max(0.01, until - clock.used)), round_effort(so_far))
        so_far.offer(improve_rounds(so_far.problem, so_far.best, so_far.cost, so_far.dice, left, ends))


def songs_alone(so_far: Incumbent, amount: float) -> None:
    """The same for the reels that songs need, with no other in the way; those are entered behind."""
    clock, problem = so_far.clock, so_far.problem
    if not problem.for_songs:
        enter_anew(so_far, amount)
        return
    others = frozenset(job.index for job in problem.work) - problem.for_songs
    draft = without(problem, so_far.best, others)
    until = clock.used + min(amount, clock.left)
    while not clock.over() and clock.used < until:
        left = clock.portion(min(BURST, max(0.01, until - clock.used)), round_effort(so_far, len(others)))
        draft = improve_rounds(problem, draft, so_far.cost, so_far.dice, left, leave=others)
        so_far.offer(entered_behind(problem, draft))


def list_effort(so_far: Incumbent) -> float:
    """What one list costs, counted in seconds of a quiet machine."""
    jobs, windows = len(so_far.problem.work), len(so_far.problem.windows)
    return 0.0004 + 0.00011 * jobs + 0.0000008 * jobs * windows


def round_effort(so_far: Incumbent, without: int = 0) -> float:
    """What it costs to take reels out and enter them anew, in the same measure; so many are left out."""
    return 0.0006 + 0.000024 * (len(so_far.problem.work) - without)
