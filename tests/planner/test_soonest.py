"""The soonest that each reel can be done, and what is known never to be: the ground of every bound."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from planonce import plan_evenings

from core.planning.bounds.evening_bound import evening_bound, stretches
from core.planning.bounds.soonest import at_hand, soonest
from core.planning.facts.reading import read_problem


def _ends(shelf, start, days=14):
    problem = read_problem(shelf, start, days)
    ends = soonest(problem).ends
    return {job.key: problem.scale.moment(ends[job.index]) for job in problem.work if job.index in ends}


def test_a_reel_in_order_ends_behind_the_first_line_up(shelf, start):
    problem = read_problem(shelf, start, 14)
    job = next(job for job in problem.work if job.key == "R-1")
    evening = datetime(2026, 9, 7, 19, 0, tzinfo=start.tzinfo)
    minutes = 30 + job.parts[0].minutes[0] + job.verify
    assert _ends(shelf, start)["R-1"] == evening + timedelta(minutes=minutes)


def test_a_sticky_reel_waits_for_a_stretch_at_home_that_is_long_enough(shelf, start):
    # three hours at home in the evenings, four of warmth: Saturday, and the next evening is Monday's
    problem = read_problem(shelf, start, 14)
    job = next(job for job in problem.work if job.warmth == "must")
    saturday = datetime(2026, 9, 12, 9, 0, tzinfo=start.tzinfo)
    assert problem.scale.moment(at_hand(problem, job)[0][0]) == saturday + timedelta(hours=8)
    assert _ends(shelf, start)[job.key].date() == datetime(2026, 9, 14).date()


def test_what_no_evening_can_hold_is_proven_at_once(shelf, start):
    deck = replace(shelf.studio.decks[0], setup_needs_helper=True)
    alone = replace(shelf, studio=replace(shelf.studio, decks=(deck,)))
    assert _ends(alone, start) == {}
    plan = plan_evenings(alone, start, 14, seconds=0)
    assert plan.status == "optimal"
    assert plan.bound == pytest.approx(plan.score, abs=1e-4)


def test_a_reel_that_lapses_while_it_cools_is_never_done(shelf, start):
    short = replace(shelf.studio.treatments[0], playable_days=0.125)  # three hours, and it cools for four
    lapsing = replace(shelf, studio=replace(shelf.studio, treatments=(short,)))
    assert "R-2" not in _ends(lapsing, start)
    assert "R-2" in _ends(shelf, start)


def test_a_deck_that_stands_on_the_set_up_needs_no_helper(shelf, start):
    reel = shelf.reels["R-1"]
    deck = replace(shelf.studio.decks[0], setup_needs_helper=True, lined_up=reel.setup)
    stands = replace(shelf, studio=replace(shelf.studio, decks=(deck,)))
    assert "R-1" in _ends(stands, start)


def test_evenings_are_looked_at_one_by_one_at_first(shelf, start):
    problem = read_problem(shelf, start, 60)
    few = stretches(problem, len(problem.work), 12 * len(problem.work))
    assert len(few) <= 12
    assert [w for stretch in few for w in stretch.windows] == list(range(len(problem.windows)))
    sizes = [len(stretch.windows) for stretch in few[:-1]]
    assert sizes == sorted(sizes) and sizes[0] == 1


def test_a_bound_that_is_given_no_time_proves_nothing_or_less(shelf, start):
    problem = read_problem(shelf, start, 14)
    score = plan_evenings(shelf, start, 14, effort=2).score
    bound = evening_bound(problem, 0.0, cells=2000)
    assert bound is None or float(bound) <= score + 1e-4
