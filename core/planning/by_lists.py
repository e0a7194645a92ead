"""What a search does without the solver: a dozen lists, random changes to them, reels entered anew."""

from __future__ import annotations

from dataclasses import replace
from itertools import cycle

from core.planning.bench.draft import ends_of
from core.planning.bench.lists import Order, plan_order, warms_first
from core.planning.bench.orders import FAR, NEAR, first_orders, improve
from core.planning.bench.recreate import CALM, HOT, WARM, entered_behind, improve_rounds, recreated, without
from core.planning.incumbent import Incumbent

DOZEN = 0.25  # of the time, at most, for the dozen lists
BURST = 5.0  # seconds or effort after which a better plan is handed on
SHORT = 1.0  # the same where a round is so short that many fit
ENOUGH = 0.33  # seconds or effort below which such a burst could not cool down
SMALL_ROUND = 0.0015  # seconds or effort of such a round


def try_lists(so_far: Incumbent) -> None:
    """The dozen lists, each offered; where calibration reels must be warmed, again with that done late."""
    clock = so_far.clock
    began = clock.used
    orders = list(first_orders(so_far.problem))
    if warms_first(so_far.problem):
        orders += [replace(order, late=True) for order in orders]
    for order in orders:
        if clock.over() or clock.used - began > clock.limit * DOZEN:
            break
        draft = plan_order(so_far.problem, order)
        so_far.offer(draft, order)
        clock.spent += list_effort(so_far)


def change_lists(so_far: Incumbent, amount: float) -> None:
    """Random changes to the best list for so many seconds or so much effort."""
    left = so_far.clock.portion(amount, list_effort(so_far))
    draft, order = improve(so_far.problem, so_far.best, so_far.order, so_far.dice, left)
    so_far.offer(draft, order)


def enter_anew(so_far: Incumbent, amount: float) -> None:
    """Reels taken out of the best plan and entered anew, for so many seconds or so much effort."""
    clock, each = so_far.clock, round_effort(so_far)
    ends = ends_of(so_far.kept) if so_far.kept is not None else {}
    short = not ends and each <= SMALL_ROUND and amount >= ENOUGH
    until, burst = clock.used + min(amount, clock.left), SHORT if short else BURST
    heats = cycle((HOT, HOT, WARM) if short else (CALM if ends else WARM,))
    while not clock.over() and clock.used < until:
        left = clock.portion(min(burst, max(0.01, until - clock.used)), each)
        heat = next(heats)
        so_far.offer(
            improve_rounds(so_far.problem, so_far.best, so_far.cost, so_far.dice, left, ends, heat=heat)
        )


def each_anew(so_far: Incumbent) -> None:
    """Every reel entered anew alone where it ends soonest: what is free is used, however short the time."""
    problem = so_far.problem
    for job in sorted(ends_of(so_far.best).items(), key=lambda pair: (pair[1], pair[0])):
        for aversion in (NEAR, FAR):
            so_far.offer(recreated(problem, so_far.best, {job[0]}, Order((job[0],), aversion)))
        so_far.clock.spent += 2 * round_effort(so_far)


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
