"""Reels taken out of a plan and entered anew: every draft on the way keeps the rules, and calm is priced."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from random import Random

import pytest

from core.planning.at_no_cost.draw_back import moved_jobs, with_reels_of
from core.planning.bench import recreate
from core.planning.bench.draft import cost, ends_of, make_draft
from core.planning.bench.follow import draft_of_plan
from core.planning.bench.lists import enter_jobs, plan_order
from core.planning.bench.moves import moved_soon, starts_of
from core.planning.bench.orders import first_orders
from core.planning.bench.recreate import Ruin, improve_rounds, recreated, without
from core.planning.between_plans import put_steps_back
from core.planning.by_lists import songs_alone
from core.planning.facts.reading import read_problem
from core.planning.incumbent import Incumbent
from core.planning.plan_evenings import plan_evenings
from core.planning.search import search
from core.planning.time_left import Clock
from core.planning.wishes.wishes import Pin, Wishes
from tui.commands.demo_ import lay_out


@pytest.fixture
def so_far(shelf, reel, start):
    """Eight reels with two set-ups, two of them sticky."""
    more = [reel(f"M-{n}", eq="NAB" if n % 2 else "IEC", condition=("ok",)) for n in range(5)]
    reels = shelf.reels | {one.key: one for one in more}
    return Incumbent(replace(shelf, reels=reels), start, 14, Wishes())


def test_every_draft_on_the_way_keeps_the_rules(so_far):
    ruin, draft = Ruin(so_far.problem, Random(7)), so_far.best
    for _ in range(60):
        out, order = ruin.draw(draft)
        draft = recreated(so_far.problem, draft, out, order)
        assert so_far.keeps_rules(draft), so_far.refused


def test_what_serves_nobody_goes_with_the_reels_taken_out(so_far):
    everyone = {job.index for job in so_far.problem.work}
    assert without(so_far.problem, so_far.best, everyone).steps == ()
    assert without(so_far.problem, so_far.best, everyone).loads == ()


def test_it_mends_the_worst_of_the_lists(so_far):
    drafts = [plan_order(so_far.problem, order) for order in first_orders(so_far.problem)]
    worst = max(drafts, key=lambda draft: cost(so_far.problem, draft))
    shares = iter([1 - n / 300 for n in range(300)])
    better = improve_rounds(so_far.problem, worst, so_far.cost, Random(1), lambda: next(shares, 0.0))
    assert cost(so_far.problem, better) < cost(so_far.problem, worst)
    assert len(ends_of(better)) == len(so_far.problem.work)


def test_the_same_round_is_worked_out_once_and_comes_to_the_same(so_far, monkeypatch):
    rounds, found = [], []
    monkeypatch.setattr(recreate, "enter_jobs", lambda *one: (rounds.append(few), enter_jobs(*one)))
    for few in (0, 8):
        monkeypatch.setattr(recreate, "FEW", few)
        shares = (1 - n / 200 for n in range(200))
        left = partial(next, shares, 0.0)
        found.append(improve_rounds(so_far.problem, so_far.best, so_far.cost, Random(2), left))
    assert found[0] == found[1]
    assert rounds.count(8) < rounds.count(0)


def test_a_shelf_without_songs_is_improved_all_the_same(so_far):
    bare = Incumbent(replace(so_far.shelf, songs={}), so_far.start, 14, Wishes())
    drafts = [plan_order(bare.problem, order) for order in first_orders(bare.problem)]
    bare.best, bare.clock = max(drafts, key=lambda draft: cost(bare.problem, draft)), Clock(0.5, True, None)
    before = cost(bare.problem, bare.best)
    songs_alone(bare, 0.5)
    assert cost(bare.problem, bare.best) < before


def test_songs_are_planned_without_the_reels_that_none_needs_and_those_come_behind(so_far):
    drafts = [plan_order(so_far.problem, order) for order in first_orders(so_far.problem)]
    worst = max(drafts, key=lambda draft: cost(so_far.problem, draft))
    needed = so_far.problem.for_songs
    assert needed and len(needed) < len(so_far.problem.work)
    so_far.best, so_far.clock = worst, Clock(0.5, True, None)
    songs_alone(so_far, 0.5)
    assert cost(so_far.problem, so_far.best) < cost(so_far.problem, worst)
    assert len(ends_of(so_far.best)) == len(so_far.problem.work)


def test_nothing_that_still_fits_moves_where_a_move_costs_a_fortune(so_far):
    kept = plan_evenings(so_far.shelf, so_far.start, 14, effort=2)
    first = next(i for i in kept.items if i.kind == "transfer")
    noon = (first.start + timedelta(days=1)).replace(hour=12, minute=0)
    wishes = Wishes(kept=kept, price=1e6)
    late = Incumbent(so_far.shelf, noon, 13, wishes)  # nothing of the evening before was done
    search(late, 2, by_effort=True, stop=None)
    assert moved_soon(late.told.at, late.best) == moved_soon(late.told.at, late.fitting)


def test_a_reel_that_is_only_heard_stays_where_it_is(so_far, reel):
    minutes = replace(so_far.shelf.studio.minutes, audition=10)
    heard = [reel(f"H-{n}", speed=None) for n in range(3)]
    shelf = replace(so_far.shelf, studio=replace(so_far.shelf.studio, minutes=minutes)).with_reel(*heard)
    kept = plan_evenings(shelf, so_far.start, 14, effort=0.1)
    own = Incumbent(shelf, so_far.start, 14, Wishes(kept=kept))
    work = {job.index for job in own.problem.work}
    assert {step.job for step in own.best.steps if step.job >= 0} - work  # there are such steps
    ruin = Ruin(own.problem, Random(3))
    for _ in range(200):
        out, order = ruin.draw(own.best)
        assert out | set(order.jobs) <= work


def test_nothing_is_warmed_for_nothing_where_the_plan_ends_sooner(tmp_path: Path) -> None:
    """A load of the kept plan stays only for reels that still play before the new plan's end."""
    at = datetime(2026, 12, 1, 18, tzinfo=UTC)
    book = lay_out(tmp_path, lambda: at)
    kept = book.plans.plan(days=14, effort=0)
    assert any(item.kind == "condition" and "R-002" in item.reels for item in kept.items)
    made = book.plans.plan(days=4, effort=0)  # up to Saturday's load, not up to the evenings behind it
    warm = {key for item in made.items if item.kind == "condition" for key in item.reels}
    plays = {item.reel for item in made.items if item.kind == "transfer"}
    assert [key for key in warm - plays if not book.shelf.reel(key).calibration] == []


def test_reels_go_back_to_where_another_plan_has_them_with_loads_and_line_ups(shelf, start):
    """The sticky reel and the one that waits for splices, kept off their evenings, and put back."""
    kept_plan = plan_evenings(shelf, start, 14, effort=0.2)
    problem = read_problem(shelf, start, 14)
    kept = draft_of_plan(problem, kept_plan)
    days = {item.start.date() for item in kept_plan.items if item.kind == "transfer"}
    away = Wishes(pins=tuple(Pin(key, day, never=True) for key in ("R-2", "R-3") for day in days))
    other = draft_of_plan(problem, plan_evenings(shelf, start, 14, effort=0.2, wishes=away))
    moved = moved_jobs(kept, other)
    assert {problem.jobs[job].key for job in moved} >= {"R-2", "R-3"}
    back = with_reels_of(problem, kept, other, set(moved))
    assert starts_of(back) == starts_of(kept) and back.loads == kept.loads


def test_a_step_at_the_table_goes_back_to_where_it_was_told_of(shelf, start):
    kept = plan_evenings(shelf, start, 14, effort=0.2)
    so_far = Incumbent(shelf, start, 14, Wishes(kept=kept))
    was = so_far.best
    looks = [
        replace(s, start=s.start + 130, end=s.end + 130) if s.kind == "identify" else s for s in was.steps
    ]
    so_far.best = make_draft(looks, list(was.loads))
    assert starts_of(so_far.best) != starts_of(was)
    put_steps_back(so_far)
    assert starts_of(so_far.best) == starts_of(was)
