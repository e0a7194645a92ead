"""The search: a list plan at once, better lists, then the solver on the whole or piece by piece."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import partial

from core.clock import evening_of
from core.moved import moved_words
from core.plan import Move, Plan
from core.planning.at_no_cost.draw_back import drawn_back
from core.planning.at_no_cost.fewer_evenings import in_fewer_evenings
from core.planning.at_no_cost.leave_cold import left_cold
from core.planning.at_no_cost.own_width import of_own_width
from core.planning.bench.calibration import tidy
from core.planning.bench.carry_on import carried_on, opened_at, tapes_first
from core.planning.bench.draft import Draft, cost, ends_of, ties
from core.planning.bench.fill import filled
from core.planning.bench.lists import plan_order
from core.planning.bench.moves import answered, barred_since, moves, not_done
from core.planning.bench.recreate import entered_behind
from core.planning.bench.whynot import whys
from core.planning.between_plans import put_reels_back, put_steps_back, take_songs_over
from core.planning.bounds.bounds import quick_bound
from core.planning.bounds.carried import carried
from core.planning.by_lists import change_lists, each_anew, enter_anew, songs_alone, try_lists
from core.planning.exchanges import exchange
from core.planning.incumbent import Incumbent
from core.planning.rules.checker import violations
from core.planning.settling.loads import in_one_load
from core.planning.settling.looks import looked_before
from core.planning.settling.settle import settled, settled_anew
from core.planning.time_left import Clock
from core.planning.wishes.wished import unmet
from core.standing.ran_then import left_out_then, ran_then

SMALL = 450  # reels to be worked on, times evenings: up to here the solver takes the whole
SOON, LATER = 1.0, 3.0  # most that reels are entered anew before the solver, where evenings count; else
EXCHANGES, CALM = 0.35, 0.15  # of the time, where a plan is kept: with few moves, by plan and by luck
AFRESH = 0.35  # the same without it


def search(so_far: Incumbent, limit: float, *, by_effort: bool, stop: Callable[[], bool] | None) -> Plan:
    """Searches for so many seconds or so much effort; nothing of either gives the first plan."""
    began = so_far.clock.began  # reading counts too; to finish takes up to twice as long
    spare = 0.0 if by_effort else min(2 * (time.monotonic() - began), limit / 8)
    so_far.clock = Clock(limit - spare, by_effort, stop, began)
    so_far.raise_bound(quick_bound(so_far.base))
    if so_far.wishes.proven is not None:
        so_far.raise_bound(carried(so_far.shelf, so_far.wishes.proven, so_far.base))
    if so_far.wishes.kept is not None:
        kept, left = so_far.wishes.kept, so_far.wishes.left
        for evening in (
            tapes_first(so_far.problem, kept, left) if left else None,
            tapes_first(so_far.problem, kept),
            carried_on(so_far.problem, kept),
        ):
            if evening is not None:
                so_far.offer(evening)
    if limit > 0 and so_far.problem.work and so_far.problem.windows:
        if so_far.kept is not None:
            _from_kept(so_far)
        else:
            _by_lists(so_far)
            _by_solver(so_far)
    used = so_far.clock.used
    return replace(finished(so_far, used, f"{limit:g}" if by_effort else ""), searched=limit)


def _by_lists(so_far: Incumbent) -> None:
    """Lists, and reels entered anew, for a part of the time that is larger where the solver sees less."""
    limit = so_far.clock.limit
    try_lists(so_far)
    if so_far.cells <= SMALL:
        change_lists(so_far, min(0.03 * limit, 4.0))
        enter_anew(so_far, min(0.15 * limit, SOON if so_far.base.comfort.marks else LATER))
    else:
        change_lists(so_far, min(0.02 * limit, 2.0))
        songs_alone(so_far, 0.15 * limit)


def _by_solver(so_far: Incumbent) -> None:
    from core.planning.solving import improve_pieces, solve_whole

    if so_far.cells <= SMALL:
        solve_whole(so_far)
    else:
        improve_pieces(so_far)


def _from_kept(so_far: Incumbent) -> None:
    """What the kept plan becomes with few moves, then what there is without it, then between the two."""
    from core.planning.by_evenings import bound_whole
    from core.planning.solving import bound_evenings, improve_pieces, solve_calmly

    limit = so_far.clock.limit
    if so_far.cells <= SMALL:
        bound_evenings(so_far, 0.02)
        bound_whole(so_far, 0.3, Fraction(0))
    exchange(so_far, EXCHANGES * limit)
    enter_anew(so_far, CALM * limit)
    if so_far.worth_moving():
        _afresh(so_far, AFRESH * limit)
    if so_far.kept is not None:
        put_reels_back(so_far, so_far.kept)
    if so_far.cells <= SMALL:
        solve_calmly(so_far)
    else:
        improve_pieces(so_far)
    if so_far.cells <= SMALL and so_far.worth_moving():
        each_anew(so_far)
    put_steps_back(so_far)


def _afresh(so_far: Incumbent, amount: float) -> None:
    """Searches as if no plan were kept, then draws what was found back to the kept one."""
    kept, clock = so_far.kept, so_far.clock
    if kept is None or clock.over():
        return
    wishes = replace(so_far.wishes, kept=None)
    other = Incumbent(so_far.shelf, so_far.start, so_far.days, wishes, plain=so_far.base)
    other.clock = Clock(min(amount, clock.left), clock.by_effort, clock.stop)
    try_lists(other)
    if other.cells > SMALL:
        songs_alone(other, 0.5 * other.clock.left)
    enter_anew(other, other.clock.left)
    clock.spent += other.clock.spent
    so_far.raise_bound(other.bound)
    take_songs_over(so_far, other.best)
    for draft in (other.best, drawn_back(so_far.problem, kept, other.best)):
        so_far.offer(draft, other.order)


def finished(so_far: Incumbent, seconds: float, effort: str = "") -> Plan:
    """The best plan as it is handed out: filled, worded, checked."""
    problem = so_far.problem
    whole = _with_all_that_fits(so_far, tidy(problem, so_far.best))
    cold = left_cold(problem, whole, partial(_no_worse, so_far))
    together = in_one_load(problem, cold, partial(_no_worse, so_far))
    settled_in = _own_width(so_far, _settled(so_far, _fewer_evenings(so_far, together)))
    calm = looked_before(problem, settled_in, partial(_no_worse, so_far))
    draft = filled(so_far.shelf, problem, calm, so_far.wishes.kept)
    reasons = whys(problem, draft)
    plan = so_far.plan_of(draft, reasons, seconds, effort)
    wrong = violations(so_far.shelf, plan)
    if not wrong:
        return _with_moves(so_far, plan, draft)
    so_far.refused += wrong
    for spare in (so_far.best, plan_order(problem, so_far.order), Draft()):
        plan = so_far.plan_of(spare, reasons, seconds, effort)
        if not violations(so_far.shelf, plan):
            break
    return plan


def _with_all_that_fits(so_far: Incumbent, draft: Draft) -> Draft:
    """The draft with every reel that finds a place beside it: nothing is left over that could be done."""
    problem = so_far.problem
    if not so_far.clock.limit and so_far.cells > SMALL:
        return draft  # a first plan of many reels is not waited for
    if all(job.index in ends_of(draft) for job in problem.work):
        return draft
    more = tidy(problem, entered_behind(problem, draft))
    return more if _no_worse(so_far, more, draft) else draft


def _no_worse(so_far: Incumbent, new: Draft, than: Draft) -> bool:
    """True for a draft that keeps the rules and ranks no lower than the other."""
    return so_far.rank(new) <= so_far.rank(than) and so_far.keeps_rules(new)


def _costs_no_more(so_far: Incumbent, new: Draft, than: Draft) -> bool:
    """The same whatever moves, for what is moved so that nobody waits."""
    problem = so_far.problem
    now, before = ((cost(problem, one), *ties(problem, one)) for one in (new, than))
    return now <= before and so_far.keeps_rules(new)


def _fewer_evenings(so_far: Incumbent, draft: Draft) -> Draft:
    """The draft without evenings of a few looks alone, where that costs nothing."""
    if not so_far.clock.limit and so_far.cells > SMALL:
        return draft  # a first plan of many reels is not waited for
    return in_fewer_evenings(so_far.problem, draft, partial(_no_worse, so_far))


def _own_width(so_far: Incumbent, draft: Draft) -> Draft:
    """The draft with calibration reels of the reels' own width, where that costs nothing."""
    if not so_far.clock.limit and (so_far.kept is not None or so_far.cells > SMALL):
        return draft  # what is waited for least: a plan that goes on, the first one of many reels
    return of_own_width(so_far.problem, draft, partial(_no_worse, so_far))


def _settled(so_far: Incumbent, draft: Draft) -> Draft:
    """The draft as early as it can be; of one that is under way what is kept stays where it is."""
    if so_far.kept is not None:
        if not so_far.clock.limit:
            return draft
        no_more = partial(_costs_no_more, so_far)
        return settled_anew(so_far.problem, so_far.kept, draft, no_more, so_far.told.moved)
    at_once = not so_far.clock.limit and so_far.cells > SMALL  # a first plan of many reels is not waited for
    new = tidy(so_far.problem, settled(so_far.problem, draft, at_once=at_once))
    return new if so_far.rank(new) <= so_far.rank(draft) else draft


def _with_moves(so_far: Incumbent, plan: Plan, draft: Draft) -> Plan:
    """The plan with what moved against the kept plan and why, and which wishes are not met."""
    wishes = so_far.wishes
    if not wishes.bind:
        return plan
    told: list[Move] = []
    if so_far.kept is not None and so_far.fitting is not None and wishes.kept is not None:
        gone = not_done(so_far.problem, wishes.kept)
        now = answered(so_far.problem, wishes.kept)
        told = barred_since(so_far.problem, wishes.kept)  # what was found out first, then what followed
        logged = partial(ran_then, so_far.shelf)
        opened = opened_at(so_far.problem)
        evening = None if opened is None else (opened, so_far.problem.windows[0].over)
        left_out = partial(left_out_then, so_far.shelf)
        told += moves(
            so_far.problem, so_far.kept, so_far.fitting, draft, gone, now, logged, evening, left_out
        )
        told = [
            one for one in (_with_look(plan, one) for one in told) if one.now is None or one.now != one.was
        ]
    tonight = evening_of(so_far.start) if so_far.told.tonight else None
    return replace(plan, moved=(*_unmet(so_far, draft), *moved_words(told, tonight)), moves=tuple(told))


def _with_look(plan: Plan, move: Move) -> Move:
    """The move of a look that fills time beside the draft: where the plan has it, not as one that is gone."""
    looks = (one.start for one in plan.items if one.kind == "identify" and one.reel == move.reel)
    there = move.kind == "identify" and move.now is None
    return replace(move, now=next(looks, None)) if there else move


def _unmet(so_far: Incumbent, draft: Draft) -> list[str]:
    """Which wishes the draft does not meet."""
    transfers: dict[str, list[int]] = {}
    for step in draft.steps:
        if step.kind == "transfer":
            transfers.setdefault(so_far.problem.jobs[step.job].key, []).append(step.start)
    return unmet(so_far.problem, so_far.wishes, transfers, ends_of(draft))
